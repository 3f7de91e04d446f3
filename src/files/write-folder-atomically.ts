import { cp, mkdir, readdir, readlink, rename, rm } from 'node:fs/promises';
import path from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { asideName, leftAside } from './aside.ts';
import { flushFolder, writeFlushed } from './flush.ts';
import { targetFolder } from './target-folder.ts';
import { writeFault } from './write-fault.ts';

export interface OutputFile {
  /** Relative to the folder, with forward slashes. */
  readonly path: string;
  readonly content: string | Uint8Array;
}

export interface WriteFolderOptions {
  /** Whether an existing folder was written by this tool and may be replaced. */
  readonly isOurs: (folder: string) => Promise<boolean>;
  /**
   * Entries at the top of the folder that belong to what is written, so that an older version's are dropped.
   * Anything else found there (a chemist's notes) is taken over into the new folder.
   */
  readonly owned?: readonly string[];
}

/** How often a swap is tried when other processes write the same folder at the same moment. Chosen, with the wait. */
const swapAttempts = 40;

/**
 * Writes a whole folder so that at every moment either the old one or the new one is complete: written aside in the
 * same parent, flushed, swapped in by rename. Killed between the two renames of the swap, the old folder lies aside
 * and the next call (or {@link recoverFolder}) puts it back.
 * @throws UserError when the place is a file, or a folder that is neither empty nor ours (nothing is touched then);
 *   MachineError when the disk refuses (the old folder stays).
 */
export async function writeFolderAtomically(
  folder: string,
  files: Iterable<OutputFile>,
  options: WriteFolderOptions,
): Promise<void> {
  let aside: string | null = null;
  try {
    await recoverFolder(folder);
    const target = await targetFolder(folder, options.isOurs);
    await mkdir(path.dirname(target), { recursive: true });
    aside = asideName(target, 'new');
    const written = await fill(aside, files);
    await keepForeign(target, aside, new Set([...written, ...(options.owned ?? [])]));
    await flushTree(aside);
    await swap(aside, target, options);
  } catch (error) {
    if (aside !== null) await rm(aside, { recursive: true, force: true }).catch(() => undefined);
    throw writeFault(error, folder);
  }
}

/** Puts back what a killed writer had moved aside, and removes what it had not finished. */
export async function recoverFolder(folder: string): Promise<void> {
  const place = path.resolve(folder);
  const link = await readlink(place).catch(() => null);
  const target = link === null ? place : path.resolve(path.dirname(place), link);
  const [old] = await leftAside(target, 'old');
  if (old !== undefined) {
    // Refused when the new folder is already in place: then the old one has been replaced and may go.
    await rename(old, target).catch(() => undefined);
    for (const left of await leftAside(target, 'old')) await rm(left, { recursive: true, force: true });
  }
  for (const left of await leftAside(target, 'new')) await rm(left, { recursive: true, force: true });
}

/** Writes the files; the names at the top of the folder. */
async function fill(folder: string, files: Iterable<OutputFile>): Promise<ReadonlySet<string>> {
  await mkdir(folder);
  const top = new Set<string>();
  for (const file of files) {
    const parts = file.path.split('/');
    if (parts.some((part) => part === '' || part === '.' || part === '..')) {
      throw new Error(`not a path inside the folder: ${file.path}`);
    }
    top.add(parts[0]!);
    const place = path.join(folder, ...parts);
    await mkdir(path.dirname(place), { recursive: true });
    await writeFlushed(place, file.content);
  }
  return top;
}

async function keepForeign(target: string, aside: string, own: ReadonlySet<string>): Promise<void> {
  const names = await readdir(target).catch(() => [] as string[]);
  for (const name of names.filter((entry) => !own.has(entry))) {
    await cp(path.join(target, name), path.join(aside, name), { recursive: true, verbatimSymlinks: true });
  }
}

async function flushTree(folder: string): Promise<void> {
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    if (entry.isDirectory()) await flushTree(path.join(folder, entry.name));
  }
  await flushFolder(folder);
}

async function swap(aside: string, target: string, options: WriteFolderOptions): Promise<void> {
  for (let attempt = 1; ; attempt += 1) {
    await targetFolder(target, options.isOurs);
    const old = asideName(target, 'old');
    const hadOld = await renameIfThere(target, old);
    try {
      await rename(aside, target);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      const overtaken = code === 'ENOTEMPTY' || code === 'EEXIST';
      // Overtaken by another writer: its folder is in place, and ours replaces that one in the next attempt.
      if (hadOld && overtaken) await rm(old, { recursive: true, force: true }).catch(() => undefined);
      else if (hadOld) await rename(old, target).catch(() => undefined);
      if (overtaken && attempt < swapAttempts) {
        await setTimeout(attempt);
        continue;
      }
      throw error;
    }
    await flushFolder(path.dirname(target));
    if (hadOld) await rm(old, { recursive: true, force: true }).catch(() => undefined);
    return;
  }
}

async function renameIfThere(from: string, to: string): Promise<boolean> {
  try {
    await rename(from, to);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return false;
    throw error;
  }
}
