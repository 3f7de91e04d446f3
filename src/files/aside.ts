import { randomBytes } from 'node:crypto';
import { readdir, stat } from 'node:fs/promises';
import path from 'node:path';
import { isRunning, machineHash } from './process-owner.ts';

/** `new`: being written; `old`: moved out of the way by a swap that has not ended. */
export type AsideKind = 'new' | 'old';

/** Names given out by this process, which a later process of the same number must not take for its own. */
const own = new Set<string>();

/**
 * Age from which another machine's leavings count as abandoned, milliseconds. Chosen: a swap takes milliseconds, and
 * writing a report well under a minute.
 */
const abandonedAfterMs: Readonly<Record<AsideKind, number>> = { old: 60_000, new: 3_600_000 };

/** A hidden name beside `target`, on the same disk, that tells which process owns it. */
export function asideName(target: string, kind: AsideKind): string {
  const name = `.${path.basename(target)}.${kind}-${machineHash}-${process.pid}-${randomBytes(4).toString('hex')}`;
  own.add(name);
  return path.join(path.dirname(target), name);
}

/** What earlier writers of `target` left beside it when they were killed; nothing of a writer that may still run. */
export async function leftAside(target: string, kind: AsideKind): Promise<readonly string[]> {
  const folder = path.dirname(target);
  const prefix = `.${path.basename(target)}.${kind}-`;
  const names = await readdir(folder).catch(() => [] as string[]);
  const abandoned: string[] = [];
  for (const name of names.sort()) {
    const place = path.join(folder, name);
    if (name.startsWith(prefix) && (await isAbandoned(place, name.slice(prefix.length), kind))) abandoned.push(place);
  }
  return abandoned;
}

async function isAbandoned(place: string, owner: string, kind: AsideKind): Promise<boolean> {
  const [, machine, pid] = /^([0-9a-f]{8})-(\d+)-[0-9a-f]{8}$/.exec(owner) ?? [];
  if (pid === undefined) return false;
  if (machine !== machineHash) {
    const facts = await stat(place).catch(() => null);
    return facts !== null && Date.now() - facts.ctimeMs > abandonedAfterMs[kind];
  }
  if (Number(pid) === process.pid) return !own.has(path.basename(place));
  return !isRunning(Number(pid));
}
