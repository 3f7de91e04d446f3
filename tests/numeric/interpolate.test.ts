import { describe, expect, it } from 'vitest';
import { interpolate } from '../../src/numeric/interpolate.ts';

// A straight line is its own outside source: any two points of it give every other.
const grid = [-2, -1, 0.5, 3, 10];
const line = (x: number): number => 7 - 3 * x;

describe('interpolate', () => {
  it('is exact on a straight line, at the grid and anywhere between', () => {
    const values = grid.map(line);
    for (const at of [...grid, -1.99, -1.5, -0.999, 0, 0.49, 2.999, 3.001, 9.99]) {
      expect(interpolate(grid, values, at)).toBeCloseTo(line(at), 12);
    }
  });

  it('takes each stretch for itself, in grids of even and odd length', () => {
    expect([0.5, 1.5, 2.5, 3.5].map((at) => interpolate([0, 1, 2, 3, 4], [0, 1, 0, 5, 5], at))).toEqual([
      0.5, 0.5, 2.5, 5,
    ]);
    expect([0.25, 2].map((at) => interpolate([0, 1, 2, 3], [4, 8, 0, 9], at))).toEqual([5, 0]);
  });

  it('holds its end values outside, and a single value everywhere', () => {
    expect([-5, -2, 10, 11].map((at) => interpolate(grid, [1, 2, 3, 4, 5], at))).toEqual([1, 1, 5, 5]);
    expect([-1, 0, 1].map((at) => interpolate([0], [6], at))).toEqual([6, 6, 6]);
  });

  it('refuses an empty grid and unequal lengths', () => {
    expect(() => interpolate([], [], 0)).toThrow(RangeError);
    expect(() => interpolate([0, 1], [0], 0.5)).toThrow(/2 grid points for 1 values/);
  });
});
