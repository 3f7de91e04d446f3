import { normalQuantile } from '../numeric/normal.ts';
import { studentTQuantile } from '../numeric/student-t.ts';
import type { Analysis } from '../model/analysis.ts';
import { courseOf } from './course.ts';
import { mean, rootMeanSquare } from '../numeric/mean.ts';
import type { Situation } from './situation.ts';

/** Points of the band's line. Chosen: finer than a chart 60 mm wide shows. */
const gridPoints = 200;

/**
 * Mean course of the negatives with the band in which a further still vial is expected (95 %, from the spread between vials; with an
 * assumed spread, that). `null` without a negative that could be read at all.
 */
export function negativeBand({ vials, pooled, usedSpread }: Situation): Analysis['negativeBand'] {
  const negatives = vials.filter(
    ({ vial, usable, trouble }) => vial.role === 'negative' && usable.timeS.length > 0 && trouble === null,
  );
  if (negatives.length === 0) return null;
  const courses = negatives.map((judged) => courseOf(judged)!);
  const endS = Math.min(...negatives.map(({ usable }) => usable.timeS.at(-1)!));
  const spread = pooled.spread ?? usedSpread;
  const known = rootMeanSquare(negatives.map(({ last }) => Math.hypot(last!.frameSe, last!.vialSe ?? 0)))!;
  const fixed = known > spread.value;
  const t = fixed || spread.df === Infinity ? normalQuantile(0.975) : studentTQuantile(0.975, spread.df);
  const half = t * Math.max(spread.value, known) * Math.sqrt(1 + 1 / negatives.length);
  const timeS = Array.from({ length: gridPoints + 1 }, (_, i) => (endS * i) / gridPoints);
  const level = timeS.map((time) => mean(courses.map((course) => course(time))));
  return {
    timeS,
    mean: level,
    lower: level.map((value) => value - half),
    upper: level.map((value) => value + half),
  };
}
