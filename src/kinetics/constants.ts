import type { Estimate } from '../model/estimate.ts';
import { profileInterval } from '../numeric/profile-interval.ts';
import type { CandidateFit } from './fit-candidate.ts';
import { refine } from './refine.ts';
import { invertPositive } from './solve-positive.ts';

/** What turns a fit into intervals. */
export interface IntervalBasis {
  readonly candidate: CandidateFit;
  /** Covariance of the parameters, p x p row major. */
  readonly covariance: Float64Array;
  /** Two-sided 95 % value of Student's t. */
  readonly t: number;
}

/**
 * No parameter is taken as less certain than this, internal units (logs or spans): two equal steps in a row leave the difference
 * of their constants without any first-order information, and an infinite variance there would drown what is well known.
 * Chosen: a factor of twenty in a rate.
 */
const widest = 3;

export function intervalBasis(candidate: CandidateFit, t: number): IntervalBasis {
  const { information, atBound, b } = candidate.fit;
  const p = b.length;
  const held = Float64Array.from(information, (value, index) =>
    index % (p + 1) === 0 ? value + 1 / widest ** 2 : value,
  );
  return { candidate, covariance: invertPositive(held, p, atBound), t };
}

/**
 * One parameter with its profile-likelihood interval, errors of the path profiled out with the rest.
 * `transform` turns the internal value (span units, perhaps a logarithm) into what is reported and must increase.
 * A side that the data do not close is `null`.
 */
export function constantEstimate(basis: IntervalBasis, index: number, transform: (value: number) => number): Estimate {
  const { candidate, covariance, t } = basis;
  const { model, target, fit } = candidate;
  const p = fit.b.length;
  const value = fit.b[index]!;
  const se = Math.sqrt(covariance[index * p + index]!);
  let warm = fit.b;
  const [low, high] = profileInterval({
    estimate: value,
    step: se > 0 ? t * se : 0.5,
    lower: model.lower[index]!,
    upper: model.upper[index]!,
    threshold: t * t,
    tolerance: 0.02,
    deviance: (theta) => {
      const start = Float64Array.from(warm);
      start[index] = theta;
      const profile = refine(model, target, start, 8, index);
      warm = profile.b;
      return profile.objective - fit.objective;
    },
  });
  const side = (bound: number | null): number | null => (bound === null ? null : transform(bound));
  const reported = transform(value);
  const slope = (transform(value + 1e-4) - transform(value - 1e-4)) / 2e-4;
  return { value: reported, se: fit.atBound[index] ? null : Math.abs(slope) * se, ci95: [side(low), side(high)] };
}
