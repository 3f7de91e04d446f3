import path from 'node:path';
import type { Note } from '../note.ts';
import { naiveSeconds } from './naive-seconds.ts';
import type { StillFacts } from './still-facts.ts';

/**
 * Cameras count to 9999 and begin again at 0001 (or 0000), so that in order of names the later pictures of such a run come first.
 * Where the names look like that, the camera's clock decides, else the dates of the files; else it is only said.
 */
export function unrollNumbers(
  facts: readonly StillFacts[],
  name: (file: string) => string,
): { readonly facts: readonly StillFacts[]; readonly notes: readonly Note[] } {
  const start = rolledStart(facts.map(({ file }) => file));
  if (start === null) return { facts, notes: [] };
  const [head, tail] = [facts.slice(0, start), facts.slice(start)];
  const where = `${name(head[0]!.file)} follows ${name(tail.at(-1)!.file)}`;
  for (const [clock, words] of [
    [exifSeconds, "the camera's clock"],
    [fileSeconds, 'the dates of the files'],
  ] as const) {
    const order = compare(head, tail, clock);
    if (order === 'as named') return { facts, notes: [] };
    if (order === 'rolled') {
      const message = `The picture numbers ran out and began again: by ${words} ${where}, and the pictures were put in that order.`;
      return { facts: [...tail, ...head], notes: [{ code: 'numbers-rolled', severity: 'info', message }] };
    }
  }
  const message = `The picture numbers may have run out and begun again, but neither the camera's clock nor the dates of the files say whether ${where}: order of names was kept. If that is wrong, list the parts in "source" (two patterns, the older first).`;
  return { facts, notes: [{ code: 'numbers-rolled-unclear', severity: 'warn', message }] };
}

/** Where the older part begins in a series that runs from 0 or 1 over one widest gap to all nines; `null`: nothing like it. */
function rolledStart(files: readonly string[]): number | null {
  const parts = files.map((file) => /^(.*?)(\d{3,})\D*$/.exec(path.join(path.dirname(file), path.parse(file).name)));
  const first = parts[0];
  const last = parts.at(-1);
  if (first === undefined || first === null || last === undefined || last === null) return null;
  const width = first[2]!.length;
  if (!parts.every((part) => part?.[1] === first[1] && part?.[2]!.length === width)) return null;
  const numbers = parts.map((part) => Number(part![2]));
  if (numbers[0]! > 1 || numbers.at(-1) !== 10 ** width - 1) return null;
  let start = 0;
  let widest = 1;
  for (let i = 1; i < numbers.length; i++) {
    if (numbers[i]! - numbers[i - 1]! <= widest) continue;
    widest = numbers[i]! - numbers[i - 1]!;
    start = i;
  }
  return start === 0 ? null : start;
}

type Clock = (facts: StillFacts) => number | null;

const exifSeconds: Clock = (facts) =>
  facts.problem === null && facts.time !== null
    ? naiveSeconds(facts.time.dateTime) - (facts.time.offsetMin ?? 0) * 60
    : null;
const fileSeconds: Clock = (facts) => (facts.problem === null ? facts.modifiedS : null);

/** Older part wholly before the other: rolled. Dates all alike (a copy) or mixed up say nothing. */
function compare(head: readonly StillFacts[], tail: readonly StillFacts[], clock: Clock): 'rolled' | 'as named' | null {
  const known = (part: readonly StillFacts[]): number[] => part.map(clock).filter((time) => time !== null);
  const [headS, tailS] = [known(head), known(tail)];
  if (headS.length === 0 || tailS.length === 0) return null;
  if (Math.max(...tailS) < Math.min(...headS)) return 'rolled';
  return Math.max(...headS) < Math.min(...tailS) ? 'as named' : null;
}
