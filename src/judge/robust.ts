/** Median of the finite values; `null` without any. */
export function median(values: readonly number[]): number | null {
  // Numbers in a typed array are sorted several times quicker than in a list.
  const sorted = Float64Array.from(values.filter(Number.isFinite)).sort();
  if (sorted.length === 0) return null;
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

/** Median of the known values of a column with gaps; `null` without any. */
export function knownMedian(values: readonly (number | null)[]): number | null {
  return median(values.filter((value) => value !== null));
}

/** Scaled median absolute deviation (1.4826: consistent for normal scatter); `null` below two values. */
export function robustSd(values: readonly number[]): number | null {
  const centre = median(values);
  if (centre === null || values.length < 2) return null;
  return 1.4826 * median(values.map((value) => Math.abs(value - centre)))!;
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Root mean square; `null` without values. */
export function rootMeanSquare(values: readonly number[]): number | null {
  return values.length === 0 ? null : Math.sqrt(mean(values.map((value) => value ** 2)));
}
