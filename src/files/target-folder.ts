import { lstat, readdir, realpath, stat } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.ts';
import { shownPath } from './read-text-file.ts';

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
  if (target === null) throw notAFolder(folder, 'this is a link to nowhere');
  if (!(await stat(target)).isDirectory()) throw notAFolder(folder, 'this is a file');
  const isEmpty = (await readdir(target)).length === 0;
  if (isEmpty || (await isOurs(target))) return target;
  throw new UserError({
    code: 'out-not-ours',
    message: 'this folder holds something else than a vialapse result, and is left as it is',
    file: shownPath(folder),
    hint: 'give --out a new folder, or one that holds an earlier report',
  });
}

function notAFolder(folder: string, message: string): UserError {
  return new UserError({
    code: 'out-not-folder',
    message: `${message}, a folder was expected`,
    file: shownPath(folder),
    hint: 'give --out another name',
  });
}
