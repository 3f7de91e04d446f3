import { mkdir, realpath, rename, rm, stat } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.ts';
import { asideName, leftAside } from './aside.ts';
import { flushFolder, writeFlushed } from './flush.ts';
import { shownPath } from './read-text-file.ts';
import { writeFault } from './write-fault.ts';

/**
 * Writes a file so that it is either complete or as it was before. Its folder is made when missing;
 * a link is followed, so that it stays a link.
 * @throws UserError when the place is a folder; MachineError when the disk refuses.
 */
export async function writeFileAtomically(file: string, content: string | Uint8Array): Promise<void> {
  let aside: string | null = null;
  try {
    await mkdir(path.dirname(path.resolve(file)), { recursive: true });
    const target = await realpath(file).catch(() => path.resolve(file));
    const facts = await stat(target).catch(() => null);
    if (facts?.isDirectory() === true) {
      throw new UserError({
        code: 'out-is-folder',
        message: 'this is a folder, a file was expected',
        file: shownPath(file),
        hint: 'give --out the name of a file',
      });
    }
    for (const left of await leftAside(target, 'new')) await rm(left, { recursive: true, force: true });
    aside = asideName(target, 'new');
    await writeFlushed(aside, content);
    await rename(aside, target);
    await flushFolder(path.dirname(target));
  } catch (error) {
    if (aside !== null) await rm(aside, { force: true }).catch(() => undefined);
    throw writeFault(error, file);
  }
}
