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
const handedOnToRate = 0.65;
/** The flattest crossing of half extent taken as it is, extent per unit of ln time: below it the time is hardly told anyway. Chosen. */
const flattest = 0.02;

/** Shares of the amplitude between which a course of free beginning shows its constant, and how far it then goes, in units of 1/k. Chosen. */
const [early, late] = [0.2, 0.8];
const between = Math.log((1 - early) / (1 - late));

/**
 * What each draw of the path's error does to a rate, relative. Where the course begins at dosing, a vial that reads too high half-way seems
 * quicker: `handedOnToRate * shift(half-way) / (slope * amplitude)`. Where its beginning is free (`inducted`), only its shape tells the constant:
 * the change of -ln(1 - extent / amplitude) between `early` and `late`. All zeros for an amplitude too small to have a half-way point.
 */
export function relativeShifts(draws: PathDraws, amplitude: number, inducted: boolean): readonly number[] {
  if (!(amplitude > 0.01)) return draws.draws.map(() => 0);
  const whole = Math.min(1, amplitude);
  return draws.draws.map((draw) => {
    const at = (share: number): number => interpolate(draws.extent, draw, share * whole) / whole;
    const seen = inducted ? (at(late) / (1 - late) - at(early) / (1 - early)) / between : at(0.5) / halfwaySlope;
    return handedOnToRate * seen;
  });
}

/**
 * What each draw does to the time at which a curve reaches half extent, relative: minus its shift there over the curve's rise per
 * unit of ln time at the crossing. All zeros where the curve does not cross (`null`).
 */
export function halfTimeShifts(draws: PathDraws, risePerLnTime: number | null): readonly number[] {
  if (risePerLnTime === null) return draws.draws.map(() => 0);
  return draws.draws.map((draw) => -interpolate(draws.extent, draw, 0.5) / Math.max(risePerLnTime, flattest));
}

/** What a lasting shift of all extents of one vial does to its constant, relative; `amplitude` above 0. */
export function rateOfShift(shift: number, amplitude: number): number {
  return (handedOnToRate * shift) / (halfwaySlope * amplitude);
}

/** The same for its half-time; `risePerLnTime` as above, `null`: that of a first-order course to the end. */
export function timeOfShift(shift: number, risePerLnTime: number | null): number {
  return -shift / Math.max(risePerLnTime ?? halfwaySlope, flattest);
}

/** An interval with the path's own error, see `relativeShifts` and `halfTimeShifts`, in quadrature. Unbounded sides stay so; lower bounds of positive quantities stay positive. */
export function withPathAllowance<T extends Estimate>(estimate: T, shifts: readonly number[] | null): T {
  if (shifts === null || shifts.length === 0) return estimate;
  const relative = Math.sqrt(shifts.reduce((sum, shift) => sum + shift ** 2, 0) / shifts.length);
  if (relative === 0) return estimate;
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

/** An interval with one more error in quadrature, in the quantity's own unit; a lower bound of 0 or more stays so. */
export function withError<T extends Estimate>(estimate: T, se: number): T {
  if (se === 0) return estimate;
  const { value, ci95 } = estimate;
  // 1.96: the normal's 97.5 % quantile.
  const side = (bound: number | null, sign: 1 | -1): number | null =>
    bound === null ? null : value + sign * Math.hypot(bound - value, 1.96 * se);
  const low = side(ci95[0], -1);
  return {
    ...estimate,
    se: estimate.se === null ? null : Math.hypot(estimate.se, se),
    ci95: [low !== null && ci95[0]! >= 0 ? Math.max(low, 0) : low, side(ci95[1], 1)],
  };
}
