import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { checkShape } from '../files/check-shape.ts';
import { readDocument } from '../files/document.ts';
import { loadRun } from '../files/index.ts';
import { resultSchema } from '../files/schemas/result.ts';
import { openSource } from '../frames/index.ts';
import { controlsFailed } from '../judge/controls.ts';
import type { Result } from '../model/result.ts';
import { inputsOf } from './run-inputs.ts';
import { toolVersion } from './version.ts';

/** @throws UserError when the folder's result is missing or damaged. */
export async function readResult(folder: string): Promise<Result> {
  return checkShape(resultSchema, await readDocument(path.join(folder, 'result.json')));
}

/**
 * Exit code of a finished report, when it was made by this version from exactly these files as they are now (run, rig,
 * reaction, film, …, by content); `null` when it must be made anew.
 */
export async function finishedCode(runFile: string, folder: string): Promise<0 | 3 | null> {
  const text = await readFile(path.join(folder, 'result.json'), 'utf8').catch(() => null);
  if (text === null) return null;
  try {
    const result = await readResult(folder);
    if (result.made.version !== toolVersion() || result.run.glance) return null;
    await readFile(path.join(folder, 'report.html'));
    const run = await loadRun(runFile);
    const source = await openSource({ parts: run.source, timing: run.timing, baseDir: path.dirname(run.file) });
    try {
      const now = JSON.stringify([...(await inputsOf(run)), ...source.info.inputs]);
      const same = now === JSON.stringify(result.made.inputs) && source.info.decoder === result.made.decoder;
      return same ? (controlsFailed(result) ? 3 : 0) : null;
    } finally {
      await source.close();
    }
  } catch {
    return null; // Whatever is wrong, `analyse` will say it better.
  }
}
