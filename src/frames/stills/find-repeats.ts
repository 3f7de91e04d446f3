import { hashFile } from '../hash-file.ts';
import type { Note } from '../note.ts';
import type { StillFacts } from './still-facts.ts';

/**
 * Finds pictures that are byte for byte the one before: a camera's noise never repeats, so nothing new was seen. They
 * keep their place in time and are rejected with the reason. Only neighbours of equal size are read.
 */
export async function findRepeats(
  facts: readonly StillFacts[],
  name: (file: string) => string,
): Promise<{ readonly reasons: readonly (string | null)[]; readonly notes: readonly Note[] }> {
  const reasons: (string | null)[] = [];
  let before: { readonly bytes: number; readonly file: string; hash: string | null } | null = null;
  for (const one of facts) {
    if (one.problem !== null) {
      reasons.push(null);
      continue;
    }
    let hash: string | null = null;
    let same = false;
    if (before !== null && before.bytes === one.bytes) {
      before.hash ??= await hashFile(before.file);
      hash = await hashFile(one.file);
      same = hash === before.hash;
    }
    reasons.push(same ? 'the same file as the picture before, byte for byte' : null);
    before = { bytes: one.bytes, file: one.file, hash };
  }
  const count = reasons.filter((reason) => reason !== null).length;
  if (count === 0) return { reasons, notes: [] };
  const first = facts[reasons.findIndex((reason) => reason !== null)]!;
  const [repeat, are, keeps] = count === 1 ? ['repeats', 'is', 'it keeps'] : ['repeat', 'are', 'each keeps'];
  const message = `${count} of ${facts.length} pictures ${repeat} the one before byte for byte and ${are} not used (first: ${name(first.file)}); ${keeps} its place in time. If they are copies of a file and no shots of their own, remove them.`;
  return { reasons, notes: [{ code: 'stills-repeated', severity: 'warn', message }] };
}
