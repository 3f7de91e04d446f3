import { medianOfAll } from './median.ts';

/**
 * Median absolute deviation from the median, times 1.4826: the standard deviation of normal scatter (1 / normal quantile of 0.75).
 * Values that are not finite are left out; `null` below two.
 */
export function robustSd(values: readonly number[]): number | null {
  const known = values.filter(Number.isFinite);
  if (known.length < 2) return null;
  const centre = medianOfAll(known);
  return 1.4826 * medianOfAll(known.map((value) => Math.abs(value - centre)));
}
