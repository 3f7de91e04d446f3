import { describe, expect, it } from 'vitest';
import { orderLikeStart } from '../../src/numeric/equal-terms.ts';

/** A problem whose residuals are the curve itself: only whether two curves are one is asked. */
function ordered(
  curve: (b: Float64Array, x: number) => number,
  found: readonly number[],
  start: readonly number[],
  bounds: { readonly lower?: readonly number[]; readonly upper?: readonly number[] } = {},
): readonly number[] | null {
  const x = Array.from({ length: 30 }, (_, i) => i / 10);
  const residuals = (b: Float64Array): Float64Array => Float64Array.from(x, (at) => curve(b, at));
  const size = Math.hypot(...residuals(Float64Array.from(found)));
  const lower = bounds.lower ?? found.map(() => -Infinity);
  const upper = bounds.upper ?? found.map(() => Infinity);
  const better = orderLikeStart(
    { residuals, jacobian: null, lower, upper, size },
    Float64Array.from(found),
    Float64Array.from(start),
  );
  return better === null ? null : [...better];
}

/** Gaussians of three parameters each: height, place, width. */
const peaks = (b: Float64Array, x: number): number => {
  let sum = 0;
  for (let j = 0; j < b.length; j += 3) sum += b[j]! * Math.exp(-(((x - b[j + 1]!) / b[j + 2]!) ** 2));
  return sum;
};

describe('one minimum under several names is called as the start calls it', () => {
  it('two of three peaks change places, heights, places and widths together', () => {
    const found = [1, 2.5, 0.2, 3, 0.5, 0.3, 2, 1.5, 0.4];
    const start = [2.5, 0.6, 0.25, 1.8, 1.4, 0.5, 1.2, 2.4, 0.25];
    expect(ordered(peaks, found, start)).toEqual([3, 0.5, 0.3, 2, 1.5, 0.4, 1, 2.5, 0.2]);
  });

  it('and nothing moves where the names are the start’s already', () => {
    expect(ordered(peaks, [3, 0.5, 0.3, 1, 2.5, 0.2], [2, 0.6, 0.2, 1.5, 2, 0.3])).toBeNull();
  });

  it('a sign is turned where it makes no difference, two together where one alone would', () => {
    expect(ordered(peaks, [2, 1, -0.3], [1, 1, 0.5])).toEqual([2, 1, 0.3]);
    const quotient = (b: Float64Array, x: number): number => (b[0]! * x) / (b[1]! + 5 * b[1]! * x);
    expect(ordered(quotient, [-2, -3], [1, 1])).toEqual([2, 3]);
  });

  it('never at the price of another curve, of a bound, or of a parameter at 0', () => {
    const unlike = (b: Float64Array, x: number): number => b[0]! + 2 * b[1]! * x;
    expect(ordered(unlike, [1, 3], [3, 1])).toBeNull();
    const sum = (b: Float64Array, x: number): number => Math.exp(-b[0]! * x) + Math.exp(-b[1]! * x);
    expect(ordered(sum, [1, 3], [3, 1])).toEqual([3, 1]);
    expect(ordered(sum, [1, 3], [3, 1], { upper: [2, 4] })).toBeNull();
    expect(ordered(sum, [1, 3], [3, 1], { lower: [0, 2] })).toBeNull();
    expect(ordered(sum, [0, 3], [0, 3])).toBeNull();
  });

  it('up to nine parameters; one alone has nothing to change with', () => {
    const many = (b: Float64Array, x: number): number => b.reduce((total, rate) => total + Math.exp(-rate * x), 0);
    const descending = (count: number): readonly number[] => Array.from({ length: count }, (_, j) => count - j);
    const ascending = (count: number): readonly number[] => [...descending(count)].reverse();
    expect(ordered(many, descending(9), ascending(9))).toEqual(ascending(9));
    expect(ordered(many, descending(10), ascending(10))).toBeNull();
    expect(ordered(many, [2], [-2])).toBeNull();
  });
});
