/** Arithmetic mean of numbers that are all known; NaN of none. Of few values of like size: not worth a compensated sum. */
export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Root of the mean square of numbers that are all known; `null` of none. */
export function rootMeanSquare(values: readonly number[]): number | null {
  return values.length === 0 ? null : Math.sqrt(mean(values.map((value) => value ** 2)));
}
