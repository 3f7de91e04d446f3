import { interpolate } from '../numeric/interpolate.ts';
import type { ColourPath } from '../model/extent.ts';
import { singleCritical } from './critical-values.ts';
import type { Difference } from './difference.ts';
import { pathSe } from './estimates.ts';
import { mean } from '../numeric/mean.ts';
import type { Situation } from './situation.ts';
import { halfWidth } from './variance-parts.ts';

/** Error of the path in the difference between an extent `step` above `from` and `from` itself. */
export function pathSeOfStep(path: ColourPath, from: number, step: number): number {
  return pathSe(
    path.draws.map((draw) => interpolate(path.extent, draw, from + step) - interpolate(path.extent, draw, from)),
  );
}

/** Mean extent of the negatives at the reading time; 0 without any. */
export function levelOfNegatives({ negatives }: Situation): number {
  return negatives.length === 0 ? 0 : mean(negatives.map(({ atRead }) => atRead!.value));
}

/**
 * The smallest margin this sample could be shown to stay below: what its upper bound would be at D = 0, with the error the path
 * has at that very margin. Found by repeated substitution; an extent of 1 at most.
 */
export function smallestMargin(situation: Situation, { vialParts, lightSe }: Difference): number {
  const { path, run } = situation.input;
  const from = levelOfNegatives(situation);
  let margin = situation.margin.value;
  for (let round = 0; round < 40; round += 1) {
    const known = pathSeOfStep(path, from, margin) ** 2 + lightSe ** 2;
    const half = halfWidth([...vialParts, { variance: known, df: Infinity }], (df) => singleCritical(run.alpha, df));
    const next = Math.min(half, 1);
    if (Math.abs(next - margin) < 1e-6) return next;
    margin = next;
  }
  return margin;
}
