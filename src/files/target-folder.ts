import { lstat, readdir, realpath, stat } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.ts';
import { shownPath } from './read-text-file.ts';

/** How often a folder is looked at that other writers keep replacing. Chosen: measured with six writers, 3 sufficed. */
const looks = 20;

/**
 * The folder to write, links followed, after making sure that nothing of somebody else's would be replaced.
 * An empty folder may be filled: nothing is lost by it.
 * @throws UserError for a file, a link to nowhere, or a folder that is neither empty nor ours.
 */
export async function targetFolder(folder: string, isOurs: (folder: string) => Promise<boolean>): Promise<string> {
  const place = path.resolve(folder);
  const entry = await lstat(place).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null;
    if (error.code === 'ENOTDIR') throw notAFolder(folder, 'a part of this path is a file');
    throw error;
  });
  if (entry === null) return place;
  const target = await realpath(place).catch(() => null);
  if (target === null) {
    if (entry.isSymbolicLink()) throw notAFolder(folder, 'this is a link to nowhere');
    return place; // moved aside by another writer of the same folder since the look above
  }
  // A look counts only if the folder stayed the same one: another writer's swap may come between stat and read.
  for (let look = 1; look <= looks; look += 1) {
    const before = await folderNumber(target);
    if (before === null) return target;
    if (before === 'file') throw notAFolder(folder, 'this is a file');
    if ((await isEmpty(target)) || (await isOurs(target))) return target;
    if ((await folderNumber(target)) === before) break;
  }
  throw new UserError({
    code: 'out-not-ours',
    message: 'this folder holds something other than a vialapse report, and was not changed',
    file: shownPath(folder),
    hint: 'give --out a new folder, or one that holds an earlier report',
  });
}

/** What tells this folder from its successor of the same name; `null` when nothing is there any more. */
async function folderNumber(target: string): Promise<bigint | 'file' | null> {
  try {
    const entry = await stat(target, { bigint: true });
    return entry.isDirectory() ? entry.ino : 'file';
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

async function isEmpty(target: string): Promise<boolean> {
  return readdir(target).then(
    (names) => names.length === 0,
    (error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT') return false;
      throw error;
    },
  );
}

function notAFolder(folder: string, message: string): UserError {
  return new UserError({
    code: 'out-not-folder',
    message: `${message}, a folder was expected`,
    file: shownPath(folder),
    hint: 'give --out another name',
  });
}
