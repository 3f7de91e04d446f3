/** The value below which a `share` of all lie, 0 (smallest) to 1 (largest), always one of the values; NaN of none. */
export function orderStatistic(values: readonly number[], share: number): number {
  const sorted = new Float64Array(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? NaN;
}
