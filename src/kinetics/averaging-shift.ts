import type { KineticModel } from './kinetic-model.ts';
import type { PreparedSeries } from './prepare-series.ts';

/** Places inside an averaged point at which the curve is taken. */
const places = 4;

/**
 * Extents as they would be at the middle of each averaged point: the mean of a bent curve over a stretch is not its
 * value in the middle, so that difference, by the curve as fitted so far, is taken off the averages. `curve` holds the
 * model at `series.time`. The extents themselves when nothing was averaged.
 */
export function averagingShift(
  model: KineticModel,
  b: Float64Array,
  series: PreparedSeries,
  curve: Float64Array,
): Float64Array {
  if (!series.averaged) return series.extent;
  const n = curve.length;
  const mean = new Float64Array(n);
  const value = new Float64Array(n);
  for (let place = 0; place < places; place += 1) {
    const shift = (place + 0.5) / places - 0.5;
    const time = series.time.map((middle, i) => middle + shift * series.width[i]!);
    model.evaluate(b, time, value, null);
    for (let i = 0; i < n; i += 1) mean[i]! += value[i]! / places;
  }
  return series.extent.map((extent, i) => extent - (mean[i]! - curve[i]!));
}
