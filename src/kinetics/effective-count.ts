import type { NoiseFilter } from './noise-filter.ts';
import type { PreparedSeries } from './prepare-series.ts';

/**
 * Number of independent values that would fix a mean as well as the correlated series does, at least 2: the frames'
 * variance over the variance of the best mean.
 */
export function effectiveCount(series: PreparedSeries, filter: NoiseFilter): number {
  const ones = new Float64Array(series.time.length).fill(1);
  const whitened = new Float64Array(ones.length);
  filter.whiten(ones, whitened);
  return Math.max(
    2,
    whitened.reduce((sum, value) => sum + value * value, 0),
  );
}
