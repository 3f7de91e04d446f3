/** Count, mean and unbiased variance (`null` below two values) of a sample, by the two-pass formula. */
export interface SampleMoments {
  readonly count: number;
  readonly mean: number;
  readonly variance: number | null;
}

/** Throws RangeError on an empty sample. */
export function sampleMoments(values: readonly number[]): SampleMoments {
  const count = values.length;
  if (count === 0) throw new RangeError('sampleMoments: empty sample');
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  if (count < 2) return { count, mean, variance: null };
  let squares = 0;
  let residue = 0;
  for (const value of values) {
    squares += (value - mean) ** 2;
    residue += value - mean;
  }
  return { count, mean, variance: (squares - (residue * residue) / count) / (count - 1) };
}
