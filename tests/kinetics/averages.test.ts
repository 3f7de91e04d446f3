import { describe, expect, it } from 'vitest';
import { average, type WeightedFit } from '../../src/kinetics/averages.ts';

/** A one-parameter candidate: value b, its variance, and wide bounds. Only what `average` looks at. */
const fit = (b: number, variance: number, weight: number): WeightedFit =>
  ({
    weight,
    basis: {
      t: 2,
      covariance: Float64Array.of(variance),
      candidate: { fit: { b: Float64Array.of(b) }, model: { lower: [-1e9], upper: [1e9] } },
    },
  }) as unknown as WeightedFit;
const value = (_: WeightedFit, b: Float64Array): number => b[0]!;
const undetermined = (of: number, se: number): boolean => !(se <= Math.abs(of));

describe('an average over models', () => {
  it('weighs values and adds the variance between models', () => {
    const found = average([fit(1, 0.01, 0.5), fit(3, 0.01, 0.5)], value)!;
    expect(found.value).toBeCloseTo(2, 12);
    expect(found.se).toBeCloseTo(Math.sqrt(1.01), 6);
  });

  it('is not ruled by a light model that leaves the quantity open', () => {
    const fits = [fit(1, 0.01, 0.97), fit(1, 1e8, 0.03)];
    expect(average(fits, value)!.se).toBeGreaterThan(1000);
    expect(average(fits, value, undetermined)!.se).toBeCloseTo(0.1, 6);
  });

  it('stays open when the weightiest model itself leaves it open', () => {
    const fits = [fit(1, 1e8, 0.97), fit(1, 0.01, 0.03)];
    expect(average(fits, value, undetermined)!.se).toBeGreaterThan(1000);
  });
});
