import type { TimeEstimate } from '../model/estimate.ts';
import { average } from './averages.ts';
import type { WeightedFit } from './averages.ts';
import type { PreparedSeries } from './prepare-series.ts';

/** The extent whose time is sought. */
const half = 0.5;
/** Rise between two neighbouring frames of which the model alone tells when it happened. Chosen. */
const unseenRise = 0.4;

/**
 * Time at which the extent reaches 0.5, averaged over models in its logarithm. Beyond the last frame it is censored
 * (`right`, value = last time), before the first as well (`left`, value = first time): no model is trusted outside. When
 * most of the rise lies between two neighbouring frames, the interval reaches from one to the other (interval censoring).
 */
export function halfTime(fits: readonly WeightedFit[], series: PreparedSeries, t: number): TimeEstimate {
  const { spanS, firstS } = series;
  const right: TimeEstimate = { value: spanS, se: null, ci95: [spanS, null], censored: 'right' };
  const left: TimeEstimate = { value: firstS, se: null, ci95: [null, firstS], censored: 'left' };
  const reachedAt = (time: number): number | null =>
    average(fits, ({ basis }, b) => curveAt(basis.candidate.reaction, b, time))?.value ?? null;
  const last = reachedAt(1);
  const first = reachedAt(series.time[0]!);
  if (last === null || last < half) return right;
  if (first !== null && first >= half && firstS > 0) return left;
  const crossing = average(
    fits,
    ({ basis }, b) => logCrossing(basis.candidate.reaction, b),
    (_, se) => !(se <= 1),
  );
  if (crossing === null || crossing.value > Math.log(1.5)) return right;
  const value = Math.min(Math.exp(crossing.value) * spanS, spanS);
  const reach = t * crossing.se;
  const after = series.time.findIndex((time) => time * spanS > value);
  const before = after <= 0 ? 0 : series.time[after - 1]!;
  const next = after < 0 ? 1 : series.time[after]!;
  const unseen = (reachedAt(next) ?? 1) - (reachedAt(before) ?? 0) > unseenRise;
  const lower = value * Math.exp(-reach);
  const upper = reach > 3 ? null : value * Math.exp(reach);
  return {
    value,
    se: value * crossing.se,
    ci95: unseen
      ? [Math.min(lower, before * spanS), upper === null ? null : Math.max(upper, next * spanS)]
      : [lower, upper],
    censored: 'none',
  };
}

/** A short step of ln time, for a slope. */
const step = 0.02;

/** Rise of the averaged curve per unit of ln time at a time (spans); `null` where no model has one. */
export function riseAt(fits: readonly WeightedFit[], time: number): number | null {
  const at = (when: number): number | null =>
    average(fits, ({ basis }, b) => curveAt(basis.candidate.reaction, b, when))?.value ?? null;
  const before = at(time * Math.exp(-step));
  const after = at(time * Math.exp(step));
  return before === null || after === null ? null : (after - before) / (2 * step);
}

type Curve = WeightedFit['basis']['candidate']['reaction'];

const one = new Float64Array(1);
const out = new Float64Array(1);

/** Extent without the vial's offset. */
function curveAt(model: Curve, b: Float64Array, time: number): number {
  one[0] = time;
  model.evaluate(b, one, out, null);
  return out[0]!;
}

/** ln of the time of half extent, up to 20 spans; a model that never gets there counts as getting there then. */
function logCrossing(model: Curve, b: Float64Array): number {
  let low = -16;
  let high = 3;
  if (curveAt(model, b, Math.exp(high)) < half) return high;
  for (let round = 0; round < 40; round += 1) {
    const middle = (low + high) / 2;
    if (curveAt(model, b, Math.exp(middle)) < half) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
