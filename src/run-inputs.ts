import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import type { Run } from './model/run.ts';

export interface RunInput {
  /** Relative to the run file's folder, with `/`. */
  readonly path: string;
  readonly sha256: string;
}

/** The small files a run rests on (run, rig, reaction, saved path, temperature, chart), each with its content's hash. */
export async function runInputs(run: Run): Promise<readonly RunInput[]> {
  const baseDir = path.dirname(run.file);
  const files = [
    run.file,
    run.rigFile,
    run.reaction.file,
    run.pathFile,
    run.planFile,
    run.temperatureFile,
    run.rig.chart?.values ?? null,
  ].filter((file) => file !== null);
  return Promise.all(
    files.map(async (file) => ({
      path: relativeName(baseDir, file, run),
      sha256: createHash('sha256')
        .update(await readFile(file))
        .digest('hex'),
    })),
  );
}

/** A reaction that comes with the project lies elsewhere on every machine: it is named, not placed. */
function relativeName(baseDir: string, file: string, run: Run): string {
  if (file === run.reaction.file && !/[/\\]/.test(run.reaction.name)) return `reaction ${run.reaction.name}`;
  return path.relative(baseDir, file).split(path.sep).join('/');
}
