import { randomBytes } from 'node:crypto';
import { mkdir, open, readFile, rename, rm, stat, utimes, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { isRunning, machineHash } from '../files/index.ts';

/** A lock of another machine not touched for so long is taken as left behind, milliseconds. Chosen: six missed touches. */
const leftBehindMs = 60_000;
const touchMs = 10_000;

export interface Lock {
  /** Says that a child works under this lock too: it holds as long as either lives. */
  add(pid: number): Promise<void>;
  release(): Promise<void>;
}

/**
 * Takes a lock file, or `null` while a living process holds it. A lock whose processes were killed is taken over.
 * Two that take over at once can both get it: what they do must be harmless twice (reports are swapped in whole).
 */
export async function takeLock(file: string): Promise<Lock | null> {
  await mkdir(path.dirname(file), { recursive: true });
  const pids = [process.pid];
  const token = randomBytes(8).toString('hex');
  const text = (): string => JSON.stringify({ host: machineHash, pids, token });
  for (let attempt = 0; attempt < 2; attempt += 1) {
    try {
      const handle = await open(file, 'wx');
      await handle.writeFile(text());
      await handle.close();
      const touching = setInterval(() => void utimes(file, new Date(), new Date()).catch(() => undefined), touchMs);
      touching.unref();
      return {
        add: async (pid) => {
          pids.push(pid);
          await writeFile(file, text());
        },
        release: async () => {
          clearInterval(touching);
          if ((await readFile(file, 'utf8').catch(() => '')).includes(token)) await rm(file, { force: true });
        },
      };
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
      if (!(await isLeftBehind(file))) return null;
      // Moved before it is removed, so that a lock taken meanwhile by another is not the one removed.
      const away = `${file}.${token}`;
      await rename(file, away).catch(() => undefined);
      await rm(away, { force: true });
    }
  }
  return null;
}

async function isLeftBehind(file: string): Promise<boolean> {
  const facts = await stat(file).catch(() => null);
  if (facts === null) return true;
  const silent = Date.now() - facts.mtimeMs > leftBehindMs;
  try {
    const held = JSON.parse(await readFile(file, 'utf8')) as { host?: unknown; pids?: unknown };
    if (held.host !== machineHash || !Array.isArray(held.pids)) return silent;
    return !held.pids.some((pid) => typeof pid === 'number' && isRunning(pid));
  } catch {
    // Killed, or stopped, between making and filling it.
    return Date.now() - facts.mtimeMs > 2_000;
  }
}
