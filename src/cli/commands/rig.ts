import path from 'node:path';
import type { Command } from 'commander';
import type { SaveAnswer } from '../../rig-page/index.ts';

interface RigOptions {
  readonly out?: string;
  readonly find?: boolean;
  readonly open: boolean;
  readonly json?: boolean;
}

/** `vialapse rig SOURCE [--out rig.json] [--find] [--no-open]` */
export function register(program: Command): void {
  program
    .command('rig')
    .summary('opens a page to place the regions and name the vials')
    .description(
      'Opens a page in your browser, served by this computer for itself alone, to place the regions of the vials on a ' +
        'frame and to say what is in them. Saves rig.json and, beside it, a run.yaml ready to analyse; if they exist ' +
        'already, they are opened. Ends when you close the page or press Ctrl-C.',
    )
    .argument('<source>', 'a film, a folder of stills, or a quoted pattern such as "IMG_*.jpg"')
    .option('--out <file>', 'where to save the rig; the run file goes beside it (default: rig.json beside the source)')
    .option(
      '--find',
      'look for the vials even if some are placed already; what is found is proposed, never taken unasked',
    )
    .option('--no-find', 'do not look for the vials')
    .option('--no-open', 'print the address of the page, and do not open the browser')
    .option('--json', 'print what was saved as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse rig overnight.mp4 --out bench/rig.json')
    .action(rig);
}

async function rig(source: string, options: RigOptions): Promise<void> {
  const [{ openAccess, openSession, startRigServer }, { openBrowser }, { projectRoot }] = await Promise.all([
    import('../../rig-page/index.ts'),
    import('../open-browser.ts'),
    import('../../files/index.ts'),
  ]);
  const sourceFile = path.resolve(source);
  const rigFile = path.resolve(options.out ?? path.join(path.dirname(sourceFile), 'rig.json'));
  const access = await openAccess(sourceFile);
  const say = (line: string): void => void process.stderr.write(`${line}\n`);
  let last: Extract<SaveAnswer, { kind: 'saved' }> | null = null;
  try {
    const server = await startRigServer(
      {
        access,
        start: await openSession(access.facts, { sourceFile, rigFile }, options.find ?? null),
        folder: { rigFile, own: new Map() },
        place: path.dirname(rigFile),
        saved: (answer) => {
          if (answer.kind !== 'saved') return;
          last = answer;
          if (answer.written.length > 0) say(`Saved ${answer.written.join(' and ')}. Next: ${answer.next}`);
        },
      },
      { assets: path.join(projectRoot, 'dist', 'rig-page') },
    );
    process.once('SIGINT', server.close);
    process.once('SIGTERM', server.close);
    const opened = options.open && (await openBrowser(server.launchUrl()));
    say(opened ? 'The page is open in your browser; if not, open' : 'Open');
    say(`  ${server.url}`);
    say('Close the page or press Ctrl-C to end.');
    await server.ended;
    process.removeListener('SIGINT', server.close);
    process.removeListener('SIGTERM', server.close);
  } finally {
    await access.close();
  }
  report(last, path.dirname(rigFile), options.json ?? false, say);
}

type Saved = Extract<SaveAnswer, { kind: 'saved' }> | null;

function report(saved: Saved, folder: string, json: boolean, say: (line: string) => void): void {
  if (json) {
    const files = (saved?.written ?? []).map((name) => path.join(folder, name));
    process.stdout.write(`${JSON.stringify({ saved: saved !== null, files, next: saved?.next ?? null })}\n`);
  }
  if (saved === null) say('Closed; nothing was saved.');
}
