import type { Estimate } from '../model/estimate.ts';
import { interpolate } from '../numeric/interpolate.ts';
import type { PathDraws } from './kinetic-series.ts';

/** Change of extent for a unit change of log k at half-way of a first-order course: ln(2) / 2. */
const halfwaySlope = Math.LN2 / 2;
/**
 * Share of the path's half-way error that a whole curve hands on to its rate constant. Measured on modelled racks of a second
 * physics (npm run truth): the scores of the path fitted with the curve seem better known than they are, because real path
 * errors lie only partly along the drawn ones.
 */
export const handedOnToRate = 0.65;
/** A half-time is the half-way point itself. */
export const handedOnToHalfTime = 1;

/**
 * An interval with the path's own error in quadrature: relative error `share * sd(path half-way) / (slope * amplitude)`.
 * Unbounded sides stay so; lower bounds of positive quantities stay positive. Without draws the estimate comes back as it is.
 */
export function withPathAllowance<T extends Estimate>(
  estimate: T,
  draws: PathDraws | null,
  amplitude: number,
  share: number,
): T {
  if (draws === null || draws.draws.length === 0 || !(amplitude > 0.01)) return estimate;
  const halfway = Math.min(1, amplitude) / 2;
  const squares = draws.draws.reduce((sum, draw) => sum + interpolate(draws.extent, draw, halfway) ** 2, 0);
  const relative = (share * Math.sqrt(squares / draws.draws.length)) / (halfwaySlope * Math.min(1, amplitude));
  const [low, high] = estimate.ci95;
  const { value } = estimate;
  // on the log scale, as rates and times err by factors
  const side = (bound: number | null, sign: 1 | -1): number | null =>
    bound === null || !(bound > 0) || !(value > 0)
      ? bound
      : value * Math.exp(sign * Math.hypot(Math.log(bound / value), 1.96 * relative));
  return {
    ...estimate,
    se: estimate.se === null ? null : Math.hypot(estimate.se, value * relative),
    ci95: [side(low, -1), side(high, 1)],
  };
}
