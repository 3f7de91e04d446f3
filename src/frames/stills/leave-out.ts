import path from 'node:path';
import type { Note } from '../note.ts';

/** Endings by what they lose: where one shot lies there in two formats and both are equally frequent, the first stays. */
const leastLossFirst = ['.tif', '.tiff', '.png', '.heic', '.heif', '.avif', '.webp', '.jpg', '.jpeg'];

/** How programs name small versions and copies: `IMG_1_thumb`, `thumb_IMG_1`, `IMG_1 (2)`, `IMG_1 - Copy`, `IMG_1 copy 2`. */
const smaller = [/^(.+?)[ ._-](?:thumb|thumbnail|small|preview)$/i, /^(?:thumb|thumbnail)[ ._-](.+)$/i];
const copies = [/^(.+?) ?\(\d+\)$/, /^(.+?)(?: -)? copy(?: ?\d+)?$/i];

/**
 * Leaves out files that show a shot which is there already: the same name in a second format, a small version, a copy.
 * They would take a place in time of their own. A small version or copy without its original stays.
 */
export function leaveOutDoubles(
  files: readonly string[],
  name: (file: string) => string,
): { readonly files: readonly string[]; readonly notes: readonly Note[] } {
  const kept = new Map<string, string>();
  const stems = new Set(files.map(stemOf));
  const often = new Map<string, number>();
  for (const file of files) often.set(endingOf(file), (often.get(endingOf(file)) ?? 0) + 1);
  const better = (a: string, b: string): boolean => {
    const [first, second] = [endingOf(a), endingOf(b)];
    const difference = often.get(first)! - often.get(second)!;
    return difference === 0 ? leastLossFirst.indexOf(first) < leastLossFirst.indexOf(second) : difference > 0;
  };
  const reasons: Record<'small' | 'copy' | 'format', string[]> = { small: [], copy: [], format: [] };
  for (const file of files) {
    if (hasOriginal(file, smaller, stems)) reasons.small.push(file);
    else if (hasOriginal(file, copies, stems)) reasons.copy.push(file);
    else {
      const rival = kept.get(stemOf(file));
      if (rival === undefined) kept.set(stemOf(file), file);
      else {
        const stays = better(file, rival) ? file : rival;
        kept.set(stemOf(file), stays);
        reasons.format.push(stays === file ? rival : file);
      }
    }
  }
  const told: readonly (readonly [readonly string[], string])[] = [
    [reasons.format, 'show the same shots as others in another format'],
    [reasons.small, 'are small versions of others'],
    [reasons.copy, 'are copies of others by their names'],
  ];
  const stay = new Set(kept.values());
  return {
    files: files.filter((file) => stay.has(file)),
    notes: told.flatMap(([left, why]) =>
      left.length === 0
        ? []
        : [
            {
              code: 'stills-left-out',
              severity: 'warn' as const,
              message: `${left.length} of ${files.length} pictures ${why} and were left out (first: ${name(left[0]!)}).`,
            },
          ],
    ),
  };
}

const endingOf = (file: string): string => path.extname(file).toLowerCase();
const stemOf = (file: string): string => file.slice(0, file.length - path.extname(file).length).toLowerCase();

function hasOriginal(file: string, patterns: readonly RegExp[], stems: ReadonlySet<string>): boolean {
  const stem = path.basename(file, path.extname(file));
  return patterns.some((pattern) => {
    const original = pattern.exec(stem)?.[1];
    return original !== undefined && stems.has(path.join(path.dirname(file), original).toLowerCase());
  });
}
