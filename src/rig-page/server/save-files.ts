import { constants } from 'node:fs';
import { copyFile, readFile } from 'node:fs/promises';
import path from 'node:path';
import { runText } from '../../files/run-text.ts';
import { writeFileAtomically } from '../../files/write-file-atomically.ts';
import type { PlainObject, SaveAnswer } from '../messages.ts';

/** The files of a session: where the rig goes, and what the session has written itself. */
export interface SaveFolder {
  /** Absolute path of rig.json. */
  readonly rigFile: string;
  /** Contents as this session wrote them, by absolute path: what is unchanged since may be replaced without asking. */
  readonly own: Map<string, string>;
}

async function textOf(file: string): Promise<string | null> {
  try {
    return await readFile(file, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

/** Copies a file to the first free of `.previous`, `.previous-2`, …: nothing kept before is ever lost. */
async function keepPrevious(file: string): Promise<string> {
  for (let number = 1; ; number += 1) {
    const copy = `${file}.previous${number === 1 ? '' : `-${number}`}`;
    try {
      await copyFile(file, copy, constants.COPYFILE_EXCL);
      return copy;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    }
  }
}

export interface FilesToSave {
  readonly rig: PlainObject;
  readonly run: PlainObject;
  readonly runFile: string;
  readonly replace: boolean;
}

/**
 * Writes the rig, then the run that names it. Files that this session did not write are replaced only when asked, and
 * what is replaced is kept beside.
 */
export async function saveFiles(folder: SaveFolder, files: FilesToSave): Promise<SaveAnswer> {
  const place = path.dirname(folder.rigFile);
  const runFile = path.join(place, files.runFile);
  const [oldRig, oldRun] = [await textOf(folder.rigFile), await textOf(runFile)];
  const targets = [
    { file: folder.rigFile, old: oldRig, text: `${JSON.stringify(files.rig, null, 2)}\n` },
    { file: runFile, old: oldRun, text: runText(files.run, oldRun) },
  ].filter(({ old, text }) => old !== text);
  const foreign = targets.filter(({ file, old }) => old !== null && folder.own.get(file) !== old);
  if (foreign.length > 0 && !files.replace) {
    return { kind: 'exists', files: foreign.map(({ file }) => path.basename(file)) };
  }
  const written: string[] = [];
  const kept: string[] = [];
  for (const { file, old, text } of targets) {
    if (old !== null) kept.push(path.basename(await keepPrevious(file)));
    await writeFileAtomically(file, text);
    folder.own.set(file, text);
    written.push(path.basename(file));
  }
  const shown = path.relative(process.cwd(), runFile);
  return { kind: 'saved', written, kept, next: `vialapse analyse ${quoted(shown.startsWith('..') ? runFile : shown)}` };
}

/** As the shell takes it. */
const quoted = (file: string): string => (/^[\w./-]+$/u.test(file) ? file : `'${file.replaceAll("'", `'\\''`)}'`);
