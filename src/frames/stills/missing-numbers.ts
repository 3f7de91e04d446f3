import path from 'node:path';
import type { Note } from '../note.ts';

/** Pictures below which numbers are no series. Chosen. */
const fewestPictures = 5;
/** Share of the steps by one from which the names count pictures. Chosen. */
const inStep = 0.8;
/** Digits of a time of day, and of a date with it: such names count seconds, not pictures. */
const clockDigits: readonly number[] = [6, 14];

/**
 * Tells that the numbers in the names skip some, for pictures whose time is told by their count alone. `null`: they do
 * not, or the names do not count pictures. Files in order.
 */
export function missingNumbers(files: readonly string[], name: (file: string) => string, shown: string): Note | null {
  const parts = files.map((file) => /^(.*?)(\d{3,})\D*$/.exec(path.parse(file).name));
  const prefix = parts[0]?.[1];
  if (files.length < fewestPictures || parts.some((part) => part?.[1] !== prefix || part === null)) return null;
  if (parts.some((part) => clockDigits.includes(part![2]!.length))) return null;
  const numbers = parts.map((part) => Number(part![2]));
  const steps = numbers.slice(1).map((number, at) => number - numbers[at]!);
  if (steps.filter((step) => step === 1).length < inStep * steps.length) return null;
  // Numbers that ran out and began again go down.
  const skips = steps.flatMap((step, at) => (step > 1 ? [{ at, count: step - 1 }] : []));
  const [first] = skips;
  if (first === undefined) return null;
  const count = skips.reduce((sum, skip) => sum + skip.count, 0);
  const numbersSkipped = count === 1 ? 'one number' : `${count} numbers`;
  const message = `${shown}: the names skip ${numbersSkipped} (first after ${name(files[first.at]!)}). If pictures were lost or removed there, later ones come too early, because interval_s counts those that are there: then list the parts with their starts, "source: [{ file: …, starts_run_s: … }, …]".`;
  return { code: 'numbers-skipped', severity: 'warn', message };
}
