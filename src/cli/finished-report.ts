import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { checkShape } from '../files/check-shape.ts';
import { readDocument } from '../files/document.ts';
import { loadRun, readKnownSource, type SourceQuestion, watchSource } from '../files/index.ts';
import { resultSchema } from '../files/schemas/result.ts';
import { ffmpegStamps } from '../frames/ffmpeg-candidates.ts';
import { openSource } from '../frames/index.ts';
import { controlsFailed } from '../judge/controls.ts';
import type { SourceInfo } from '../model/frame.ts';
import type { Result } from '../model/result.ts';
import { inputsOf } from './run-inputs.ts';
import { measuringId, toolVersion } from './version.ts';

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
    const source = await sourceNow(path.join(path.dirname(folder), '.vialapse'), {
      ...{ parts: run.source, timing: run.timing, baseDir: path.dirname(run.file) },
      ...{ glance: false, untilRunS: null, version: toolVersion() },
      ...{ measuringId: measuringId(), decoders: ffmpegStamps() },
    });
    const now = JSON.stringify([...(await inputsOf(run)), ...source.inputs]);
    const same = now === JSON.stringify(result.made.inputs) && source.decoder === result.made.decoder;
    return same ? (controlsFailed(result) ? 3 : 0) : null;
  } catch {
    return null; // Whatever is wrong, `analyse` will say it better.
  }
}

/** What the source holds now: a film that has not been touched since it was last looked into is not read again. */
async function sourceNow(cacheDir: string, question: SourceQuestion): Promise<SourceInfo> {
  const known = await readKnownSource(cacheDir, question);
  if (known !== null) return known;
  const watched = await watchSource(cacheDir, question);
  const source = await openSource(question);
  await source.close();
  await watched.keep(source.info);
  return source.info;
}
