import { chiSquareQuantile } from '../numeric/chi-square.ts';
import { normalQuantile } from '../numeric/normal.ts';
import { effectiveCount } from './effective-count.ts';
import type { CandidateFit } from './fit-candidate.ts';
import type { KineticOptions } from './kinetic-series.ts';
import type { PreparedSeries } from './prepare-series.ts';

/**
 * The likelihood ratio under no change has no textbook law here: rates and times mean nothing then, and the best of
 * seven models is taken. Over 25,461 still series (scripts/kinetics/still-ratios.ts 1500, seeds r1 and r2; rho 0, 0.5,
 * 0.9; 30, 120, 400 frames) its upper points from 5 % to 0.2 % are those of chi-square with 2 degrees of freedom where
 * 16 or more values are effectively independent, and higher by 5 at 3 such values, 2 at 6: errors that drift look like
 * reaction. With 20 over that number added, the alarms at 5, 1, 0.4, 0.2 % were 3.2, 0.7, 0.3, 0.12 % over all, and at
 * most 4.2, 1.1, 0.5, 0.28 % in any of the nine conditions (2829 series each).
 */
const ratioDf = 2;
const excess = 20;

/** Twice the logarithm of the likelihood ratio of the best moving model to `none`, each with its own errors. */
export function risingRatio(candidates: readonly CandidateFit[]): number {
  const moving = candidates.filter(({ model }) => model.name !== 'none');
  return stillOf(candidates).deviance - Math.min(...moving.map(({ deviance }) => deviance));
}

/**
 * Whether the series moves at all, against the stated chance of a false alarm: more than its own errors explain, and further than
 * what the correction of light may have left, which drifts slowly and so looks like a reaction.
 */
export function isRising(
  candidates: readonly CandidateFit[],
  series: PreparedSeries,
  { falseAlarm, lightSe = 0 }: Pick<KineticOptions, 'falseAlarm' | 'lightSe'>,
): boolean {
  const independent = effectiveCount(series, stillOf(candidates).target.filter);
  if (risingRatio(candidates) <= chiSquareQuantile(1 - falseAlarm, ratioDf) + excess / independent) return false;
  const moving = candidates.filter(({ model }) => model.name !== 'none');
  const best = moving.reduce((least, other) => (other.deviance < least.deviance ? other : least));
  const curve = new Float64Array(series.time.length);
  best.reaction.evaluate(best.fit.b, series.time, curve, null);
  const rise = Math.max(...curve) - Math.min(...curve);
  return rise > leftByLight({ falseAlarm, lightSe });
}

/** Largest change of extent between two times that the correction of light leaves, at the false-alarm rate. */
export function leftByLight({ falseAlarm, lightSe = 0 }: Pick<KineticOptions, 'falseAlarm' | 'lightSe'>): number {
  return -normalQuantile(falseAlarm) * Math.SQRT2 * lightSe;
}

function stillOf(candidates: readonly CandidateFit[]): CandidateFit {
  return candidates.find(({ model }) => model.name === 'none')!;
}
