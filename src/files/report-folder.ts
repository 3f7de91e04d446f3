import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { targetFolder } from './target-folder.ts';
import { recoverFolder, writeFolderAtomically, type OutputFile } from './write-folder-atomically.ts';

/** What a report puts at the top of its folder; anything else there is the user's. */
const owned = [
  'result.json',
  'trajectory.csv',
  'trajectory.parquet',
  'rates.csv',
  'curves.csv',
  'events.csv',
  'datapackage.json',
  'report.html',
  'judgements.json',
  'colours.csv',
  'distances.csv',
  'path.json',
  'charts',
  'stills',
] as const;

/** Whether a folder holds a result of this tool. */
export async function isReportFolder(folder: string): Promise<boolean> {
  try {
    const result: unknown = JSON.parse(await readFile(path.join(folder, 'result.json'), 'utf8'));
    const schema = (result as { readonly schema?: unknown } | null)?.schema;
    return typeof schema === 'string' && schema.startsWith('vialapse/result@');
  } catch {
    return false;
  }
}

/** Writes a report folder; an existing one is replaced only if it holds a result. */
export async function writeReportFolder(folder: string, files: Iterable<OutputFile>): Promise<void> {
  await writeFolderAtomically(folder, files, { isOurs: isReportFolder, owned });
}

/**
 * Makes sure that a report may be written there, before the hour of work for it; puts back what a killed writer left aside.
 * @throws UserError for a file or for a folder that is neither empty nor holds a result.
 */
export async function checkReportFolder(folder: string): Promise<void> {
  await recoverFolder(folder);
  await targetFolder(folder, isReportFolder);
}
