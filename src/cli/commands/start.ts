import path from 'node:path';
import type { Command } from 'commander';
import { UserError } from '../../errors.ts';
import type { OpenSource } from '../../frames/index.ts';
import { positiveNumber } from '../numbers.ts';
import type { StartFacts } from '../start-files.ts';

interface StartOptions {
  readonly out?: string;
  readonly interval?: number;
  readonly force?: boolean;
  readonly json?: boolean;
}

/** `vialapse start SOURCE [--out DIR] [--interval SECONDS] [--force]` */
export function register(program: Command): void {
  program
    .command('start')
    .summary('writes a commented run.yaml and a rig.json to fill in')
    .description(
      'Looks at a film or a folder of stills and writes the two files that describe a run, for you to fill in.',
    )
    .argument('<source>', 'a film, a folder of stills, or a quoted pattern such as "IMG_*.jpg"')
    .option('--out <folder>', 'where to write run.yaml and rig.json (default: beside the source)')
    .option('--interval <seconds>', 'seconds between two frames, if you know it', positiveNumber)
    .option('--force', 'replace a run.yaml or rig.json that already exists')
    .option('--json', 'print what was found and written as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse start overnight.mp4 --interval 20')
    .action(start);
}

async function start(source: string, options: StartOptions): Promise<void> {
  const [{ existsSync }, { shownPath, writeFileAtomically }, { shellWord, startRigText, startRunText }, words] =
    await Promise.all([
      import('node:fs'),
      import('../../files/index.ts'),
      import('../start-files.ts'),
      import('../printable.ts'),
    ]);
  const { printable, wrapped } = words;
  if (/\p{Cc}/u.test(source)) {
    throw new UserError({
      code: 'source-name',
      message: 'the name of the source has a line break or another control character, which a run file cannot hold',
      got: JSON.stringify(source),
      hint: 'rename it',
    });
  }
  const absolute = path.resolve(source);
  const folder = path.resolve(options.out ?? path.dirname(absolute));
  const runFile = path.join(folder, 'run.yaml');
  const rigFile = path.join(folder, 'rig.json');
  const inTheWay = [runFile, rigFile].find((file) => existsSync(file));
  if (inTheWay !== undefined && options.force !== true) {
    throw new UserError({
      code: 'file-exists',
      message: 'this file already exists, and was not changed',
      file: shownPath(inTheWay),
      hint: 'choose another folder with --out, or replace it with --force',
    });
  }
  const { opened, times } = await open(absolute, options.interval ?? null);
  const { info } = opened;
  await opened.close();
  const name = nameFrom(path.basename(absolute));
  const relative = path.relative(folder, absolute).split(path.sep).join('/');
  const facts: StartFacts = { name, source: relative === '' ? '.' : relative, info, times };
  await writeFileAtomically(rigFile, startRigText(name, info));
  await writeFileAtomically(runFile, startRunText(facts));
  const [shownRun, shownRig] = [shownPath(runFile), shownPath(rigFile)];
  const lines = [
    ...info.notes.map(({ message }) => `  ${wrapped(message, 78, '    ')}`),
    `Wrote ${shownRun} and ${shownRig}.`,
    `Next: fill in what is marked <- in ${shownRun}, and place the vials: vialapse rig ${shellWord(source)}${options.out === undefined ? '' : ` --out ${shellWord(shownRig)}`}`,
  ];
  process.stderr.write(`${printable(lines.join('\n'))}\n`);
  if (options.json === true) {
    process.stdout.write(`${JSON.stringify({ run: shownRun, rig: shownRig, times, source: info })}\n`);
  }
}

/** Opens the source for a look: by EXIF times where every picture has one, else by position. */
async function open(
  file: string,
  intervalS: number | null,
): Promise<{ readonly opened: OpenSource; readonly times: StartFacts['times'] }> {
  const { openSource } = await import('../../frames/index.ts');
  const request = { parts: [{ file, startsRunS: null }], baseDir: path.dirname(file) };
  const byPosition = async () => openSource({ ...request, timing: { kind: 'interval', intervalS: intervalS ?? 1 } });
  if (intervalS !== null) return { opened: await byPosition(), times: intervalS };
  try {
    return { opened: await openSource({ ...request, timing: { kind: 'clock-exif', readings: [] } }), times: 'exif' };
  } catch (error) {
    const timeless = error instanceof UserError && ['no-exif-times', 'timing-kind'].includes(error.code);
    if (!timeless) throw error;
    return { opened: await byPosition(), times: null };
  }
}

/** A run's name from a file's: without ending, other characters than a name may have turned into `-`. */
function nameFrom(file: string): string {
  const bare = file.replace(/\.[^.]+$/, '').replace(/[^\p{L}\p{N} ._-]+/gu, '-');
  const trimmed = bare
    .replace(/^[ .]+|[ .]+$/g, '')
    .slice(0, 80)
    .trim();
  return trimmed === '' ? 'run' : trimmed;
}
