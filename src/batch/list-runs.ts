import { createHash } from 'node:crypto';
import { readdir } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.ts';

/** A run to be done: the name tells its folder. */
export interface ListedRun {
  readonly file: string;
  readonly name: string;
  /** Left out: `analyse`. A panel of known references is matched. */
  readonly verb?: 'analyse' | 'match';
}

/** A part of all runs, 1-based: `2/8`. */
export interface Shard {
  readonly part: number;
  readonly of: number;
}

/**
 * Files named on the command line, patterns (`*`, `?` within a name) filled in, each once, in order.
 * @throws UserError for a pattern that fits nothing.
 */
export async function expandPatterns(patterns: readonly string[]): Promise<readonly string[]> {
  const found = new Set<string>();
  for (const pattern of patterns) {
    const files = /[*?]/.test(pattern) ? await matching(pattern) : [path.resolve(pattern)];
    if (files.length === 0) {
      throw new UserError({
        code: 'no-runs',
        message: `no file fits the pattern "${pattern}"`,
        hint: 'name run files',
      });
    }
    for (const file of files) found.add(file);
  }
  return [...found];
}

async function matching(pattern: string): Promise<readonly string[]> {
  const absolute = path.resolve(pattern);
  const { root } = path.parse(absolute);
  let places = [root];
  for (const piece of absolute.slice(root.length).split(path.sep)) {
    if (!/[*?]/.test(piece)) {
      places = places.map((place) => path.join(place, piece));
      continue;
    }
    const shape = new RegExp(
      `^${piece
        .replace(/[.+^${}()|[\]\\]/g, '\\$&')
        .replaceAll('*', '.*')
        .replaceAll('?', '.')}$`,
    );
    const next: string[] = [];
    for (const place of places) {
      const names = await readdir(place).catch(() => [] as string[]);
      for (const name of names.sort()) {
        if (shape.test(name) && (!name.startsWith('.') || piece.startsWith('.'))) next.push(path.join(place, name));
      }
    }
    places = next;
  }
  return places;
}

/** @throws UserError when two runs have one name (also when they differ in case only: some disks cannot tell). */
export function refuseEqualNames(runs: readonly ListedRun[]): void {
  const seen = new Map<string, ListedRun>();
  for (const run of runs) {
    const before = seen.get(run.name.toLowerCase());
    if (before !== undefined) {
      throw new UserError({
        code: 'equal-names',
        message: `two runs are called "${run.name}", and one report would replace the other`,
        file: run.file,
        key: 'name',
        got: `the same name in ${before.file}`,
        hint: 'give every run a name of its own',
      });
    }
    seen.set(run.name.toLowerCase(), run);
  }
}

/** Whether a run belongs to a part. By its name alone: the same on every machine, whatever other runs there are. */
export function isInShard(name: string, shard: Shard): boolean {
  return createHash('sha256').update(name).digest().readUInt32BE(0) % shard.of === shard.part - 1;
}

/** @throws UserError unless `i/n` with 1 <= i <= n. */
export function parseShard(text: string): Shard {
  const [, part, of] = /^(\d{1,6})\/(\d{1,6})$/.exec(text) ?? [];
  const shard = { part: Number(part), of: Number(of) };
  if (part !== undefined && shard.part >= 1 && shard.part <= shard.of) return shard;
  throw new UserError({
    code: 'shard',
    message: '--shard names no part',
    expected: 'i/n with i from 1 to n, such as 2/8',
    got: text,
  });
}
