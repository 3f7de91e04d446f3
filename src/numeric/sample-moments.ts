import { mean, sampleVariance } from 'simple-statistics';

/** Count, mean and unbiased variance (`null` below two values) of a sample. */
export interface SampleMoments {
  readonly count: number;
  readonly mean: number;
  readonly variance: number | null;
}

/** Throws RangeError on an empty sample. */
export function sampleMoments(values: readonly number[]): SampleMoments {
  const count = values.length;
  if (count === 0) throw new RangeError('sampleMoments: empty sample');
  return { count, mean: mean([...values]), variance: count < 2 ? null : sampleVariance([...values]) };
}
