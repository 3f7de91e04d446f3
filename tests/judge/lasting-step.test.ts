import { describe, expect, it } from 'vitest';
import { isSharp, isSharpAndLasts, stepAt } from '../../src/judge/lasting-step.ts';

// Own definitions, so the expected values are those of the docstrings.
const stair = [0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1];
const unknownAt = (values: readonly number[], ...gaps: readonly number[]): (number | null)[] =>
  values.map((value, i) => (gaps.includes(i) ? null : value));

describe('the step of the medians', () => {
  it('rests on three frames on either side, an outlying one among them', () => {
    expect(stepAt(stair, 8)).toBe(1);
    expect(stepAt([0, 0, 0, 9, 0, 2, 2, -7], 5)).toBe(2);
    expect(stepAt(stair, 4)).toBe(0);
    // Two of the three after, one of the three before the edge.
    expect(stepAt(stair, 7)).toBe(1);
    expect(stepAt(stair, 10)).toBe(0);
  });

  it('is unknown with fewer than two known frames on a side', () => {
    expect(stepAt(unknownAt(stair, 6), 8)).toBe(1);
    expect(stepAt(unknownAt(stair, 6, 7), 8)).toBeNull();
    expect(stepAt(unknownAt(stair, 9, 10), 8)).toBeNull();
    expect(stepAt(stair, 1)).toBeNull();
    expect(stepAt(stair, stair.length - 1)).toBeNull();
  });
});

describe('sharpness', () => {
  it('is a rise between two known frames by at least 0.6 of the step, to the same side', () => {
    expect(isSharp([0, 0, 0.6, 1], 2, 1)).toBe(true);
    expect(isSharp([0, 0, 0.59, 1], 2, 1)).toBe(false);
    expect(isSharp([0, 0, 1, 1], 2, -1)).toBe(false);
    expect(isSharp([0, null, 1, 1], 2, 1)).toBe(false);
    expect(isSharp([0, 0, null, 1], 2, 1)).toBe(false);
  });
});

describe('lasting', () => {
  it('a stair lasts, up or down; a ramp, a spike and a growing change do not', () => {
    expect(isSharpAndLasts(stair, 8, 1)).toBe(true);
    expect(
      isSharpAndLasts(
        stair.map((value) => -value),
        8,
        -1,
      ),
    ).toBe(true);
    const ramp = stair.map((_, i) => i / 3);
    expect(isSharpAndLasts(ramp, 8, stepAt(ramp, 8)!)).toBe(false);
    const spike = stair.map((value, i) => (i > 9 ? 0 : value));
    expect(isSharpAndLasts(spike, 8, 1)).toBe(false);
    const growing = stair.map((value, i) => (i > 9 ? 1.5 : value));
    expect(isSharpAndLasts(growing, 8, 1)).toBe(false);
  });

  it('is not told near the ends, or with fewer than three far frames known on a side', () => {
    expect(isSharpAndLasts(stair.slice(4), 4, 1)).toBe(false);
    expect(isSharpAndLasts(stair.slice(0, 12), 8, 1)).toBe(false);
    expect(isSharpAndLasts(unknownAt(stair, 1, 2, 3), 8, 1)).toBe(false);
    expect(isSharpAndLasts(unknownAt(stair, 1, 2), 8, 1)).toBe(true);
    expect(isSharpAndLasts(unknownAt(stair, 11, 12, 13), 8, 1)).toBe(false);
  });
});
