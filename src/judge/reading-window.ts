import type { Result } from '../model/result.ts';
import { turnedExtent } from './controls.ts';
import { courseOf } from './course.ts';
import { withRole } from './groups.ts';
import { mean } from '../numeric/mean.ts';
import type { JudgedVial } from './types.ts';

/** Points of the time grid on which the window is looked for. */
const gridPoints = 2000;

/**
 * The longest stretch of time since dosing in which every positive has turned (extent > 0.5) and no negative has (extent
 * difference to the blank below the margin), found in smoothed courses. `null` without positives, without negatives, or when there is
 * no such stretch.
 */
export function readingWindow(vials: readonly JudgedVial[], margin: number): Result['reading_window'] {
  const watched = (judged: JudgedVial): number => judged.usable.timeS.at(-1) ?? 0;
  const readable = vials.filter(({ usable, trouble }) => usable.timeS.length > 0 && trouble === null);
  const positives = withRole(readable, 'positive');
  const negatives = withRole(readable, 'negative');
  const blanks = withRole(readable, 'blank');
  if (positives.length === 0 || negatives.length === 0) return null;
  const courses = (some: readonly JudgedVial[]): readonly ((timeS: number) => number)[] =>
    some.map((judged) => courseOf(judged)!);
  const positive = courses(positives);
  const negative = courses(negatives);
  const blank = courses(blanks);
  const endS = Math.min(...[...negatives, ...blanks].map(watched), Math.max(...positives.map(watched)));
  // Nothing is known of the times before every vial was watched: some may have been dosed before the film began.
  const startS = Math.max(0, ...[...positives, ...negatives, ...blanks].map(({ usable }) => usable.timeS[0]!));
  if (endS <= startS) return null;
  let best: { from: number; to: number } | null = null;
  let from: number | null = null;
  for (let i = 0; i <= gridPoints; i += 1) {
    const timeS = startS + ((endS - startS) * i) / gridPoints;
    const level = blank.length === 0 ? 0 : mean(blank.map((course) => course(timeS)));
    const open =
      positive.every((course) => course(timeS) > turnedExtent) &&
      negative.every((course) => course(timeS) - level < margin);
    if (open && from === null) from = timeS;
    if (from !== null && open && (best === null || timeS - from > best.to - best.from)) best = { from, to: timeS };
    if (!open) from = null;
  }
  return best === null || best.to <= best.from ? null : { from_s: best.from, to_s: best.to, exploratory: true };
}
