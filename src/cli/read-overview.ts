import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { rigHistory } from '../batch/rig-history.ts';
import { UserError } from '../errors.ts';
import { shownPath } from '../files/index.ts';
import type { Spread } from '../judge/types.ts';
import type { Overview } from '../model/overview.ts';
import type { Run } from '../model/run.ts';

/** The overview of the last completed batch in a folder; `null` when there is none or it cannot be read. */
export async function readOverview(file: string): Promise<Overview | null> {
  try {
    const overview = JSON.parse(await readFile(file, 'utf8')) as Overview;
    return overview.schema === 'vialapse/overview@1' && Array.isArray(overview.rows) ? overview : null;
  } catch {
    return null;
  }
}

/** @throws UserError when the file is no overview. */
export async function historyFrom(file: string, run: Run, rigSha256: string): Promise<Spread | null> {
  const overview = await readOverview(path.resolve(file));
  if (overview === null) {
    throw new UserError({
      code: 'not-an-overview',
      file: shownPath(file),
      message: 'this is not an overview of runs',
      expected: 'overview.json as written by "vialapse batch"',
    });
  }
  return rigHistory(overview, { name: run.name, rigSha256, reaction: run.reaction.name });
}
