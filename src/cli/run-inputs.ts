import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.ts';
import { shownPath } from '../files/index.ts';
import type { Run } from '../model/run.ts';

/** One file that a result rests on. */
export interface RunInput {
  /** Relative to the run file, with forward slashes; a reaction that comes with the tool by its name. */
  readonly path: string;
  readonly sha256: string;
}

/** The small files of a run with their content hashes (the film's are told by frames/). */
export async function inputsOf(run: Run): Promise<readonly RunInput[]> {
  const folder = path.dirname(run.file);
  const relative = (file: string): string => path.relative(folder, file).split(path.sep).join('/');
  const isOwnReaction = /[\\/]|\.json$/.test(run.reaction.name);
  const named: readonly { readonly path: string; readonly file: string | null }[] = [
    { path: path.basename(run.file), file: run.file },
    { path: relative(run.rigFile), file: run.rigFile },
    {
      // Where the tool is installed is nobody's business, and differs between machines.
      path: isOwnReaction ? relative(run.reaction.file) : `reactions/${path.basename(run.reaction.file)}`,
      file: run.reaction.file,
    },
    ...[
      run.pathFile,
      run.planFile,
      predictionsBeside(run.planFile),
      run.temperatureFile,
      run.rig.chart?.values ?? null,
    ].map((file) => ({
      path: file === null ? '' : relative(file),
      file,
    })),
  ];
  const present = named.filter((input): input is { path: string; file: string } => input.file !== null);
  return Promise.all(present.map(async ({ path: shown, file }) => ({ path: shown, sha256: await sha256Of(file) })));
}

/** The predictions that the run is compared with lie beside the bench file. */
function predictionsBeside(planFile: string | null): string | null {
  const file = planFile === null ? null : path.join(path.dirname(planFile), 'plan.json');
  return file !== null && existsSync(file) ? file : null;
}

/** SHA-256 of a small file, hex. @throws UserError when it is missing. */
export async function sha256Of(file: string): Promise<string> {
  const content = await readFile(file).catch((cause: unknown) => {
    throw new UserError({ code: 'file-missing', message: 'this file cannot be read', file: shownPath(file), cause });
  });
  return createHash('sha256').update(content).digest('hex');
}
