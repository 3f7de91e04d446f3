import { createHash } from 'node:crypto';
import { appendFile, mkdir, readdir, readFile } from 'node:fs/promises';
import path from 'node:path';
import type { RunScore } from './score.ts';

/** Everything that a score depends on beside its task. */
const codeFolders = ['src', 'scripts/truth', 'tests/support', 'shared/reactions'];
/** They only draw up the report: changing them leaves scores valid. */
const reportOnly = /scripts.truth.(run|report|tables|claim-tables|risks|plots|statistics|outcomes|worker)\.ts$/;

/** Scores of finished runs, one JSON line each, named after the seed and the code that made them. */
export interface WorkFile {
  readonly scores: readonly RunScore[];
  append(score: RunScore): Promise<void>;
}

/** Opens or begins the work file of a seed; lines torn by a stop are left out, and so made again. */
export async function openWorkFile(folder: string, seed: string): Promise<WorkFile> {
  await mkdir(folder, { recursive: true });
  const file = path.join(folder, `${encodeURIComponent(seed)}-${await codeHash()}.jsonl`);
  const text = await readFile(file, 'utf8').catch(() => '');
  const scores = text.split('\n').flatMap((line) => {
    try {
      return [JSON.parse(line) as RunScore];
    } catch {
      return [];
    }
  });
  if (text !== '' && !text.endsWith('\n')) await appendFile(file, '\n');
  return { scores, append: (score) => appendFile(file, `${JSON.stringify(score)}\n`) };
}

async function codeHash(): Promise<string> {
  const hash = createHash('sha256');
  for (const folder of codeFolders) {
    const entries = await readdir(folder, { recursive: true, withFileTypes: true });
    const files = entries.filter((entry) => entry.isFile()).map((entry) => path.join(entry.parentPath, entry.name));
    for (const file of files.filter((name) => !reportOnly.test(name)).sort()) {
      hash.update(file).update(await readFile(file));
    }
  }
  return hash.digest('hex').slice(0, 12);
}
