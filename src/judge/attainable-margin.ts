import { interpolate } from '../numeric/interpolate.ts';
import { singleCritical } from './critical-values.ts';
import { satterthwaite } from './difference.ts';
import type { Difference } from './difference.ts';
import { pathSe } from './estimates.ts';
import type { Situation } from './situation.ts';

/**
 * The smallest margin this sample could be shown to stay below: what its upper bound would be at D = 0, with the error the path
 * has at that very extent. Found by repeated substitution; an extent of 1 at most.
 */
export function smallestMargin(situation: Situation, difference: Difference): number {
  const { path, run } = situation.input;
  const vials = difference.vialSe ** 2;
  let margin = situation.margin.value;
  for (let round = 0; round < 30; round += 1) {
    const at = path.draws.map((draw) => interpolate(path.extent, draw, margin) - interpolate(path.extent, draw, 0));
    const known = pathSe(at) ** 2 + difference.lightSe ** 2;
    const df = satterthwaite([
      { variance: vials, df: vialDf(difference) },
      { variance: known, df: Infinity },
    ]);
    const next = Math.min(singleCritical(run.alpha, df) * Math.sqrt(vials + known), 1);
    if (Math.abs(next - margin) < 1e-5) return next;
    margin = next;
  }
  return margin;
}

/** Degrees of freedom of the vials' part alone, from those of the whole. */
function vialDf({ vialSe, se, df }: Difference): number {
  return df === Infinity ? Infinity : Math.max(df * (vialSe / se) ** 4, 1);
}
