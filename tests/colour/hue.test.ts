import { describe, expect, it } from 'vitest';
import { unwrapHue } from '../../src/colour/hue.ts';
import { linearRgbToOklab, oklabToOklch } from '../../src/colour/oklab.ts';
import { oklabFromLinearWithSe } from '../../src/colour/oklab-error.ts';
import { createRandom } from '../../src/numeric/random.ts';

describe('unwrapHue', () => {
  it('goes through 0 without a jump, both ways', () => {
    expect(unwrapHue([350, 355, 2, 10])).toEqual([350, 355, 362, 370]);
    expect(unwrapHue([10, 2, 355, 350])).toEqual([10, 2, -5, -10]);
  });
  it('skips the unknown and goes on from the last known', () => {
    expect(unwrapHue([null, 350, null, null, 5, null])).toEqual([null, 350, null, null, 365, null]);
    expect(unwrapHue([])).toEqual([]);
  });
});

describe('oklabFromLinearWithSe', () => {
  it('gives the scatter found by 4,000 random draws within 5 %', () => {
    const random = createRandom('delta');
    for (const rgb of [
      [0.62, 0.24, 0.02],
      [0.05, 0.12, 0.09],
    ] as const) {
      const se = [0.004, 0.002, 0.001] as const;
      const draws = Array.from({ length: 4000 }, () => {
        const drawn = rgb.map((value, index) => value + se[index]! * random.normal());
        return oklabToOklch(linearRgbToOklab(drawn as [number, number, number]));
      });
      const sd = (values: readonly number[]): number => {
        const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
        return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
      };
      const told = oklabFromLinearWithSe(rgb, se);
      expect(told.hueSeDeg! / sd(draws.map((draw) => draw.hueDeg!))).toBeCloseTo(1, 1);
      expect(told.chromaSe / sd(draws.map((draw) => draw.chroma))).toBeCloseTo(1, 1);
      expect(told.lightnessSe / sd(draws.map((draw) => draw.lightness))).toBeCloseTo(1, 1);
    }
  });
  it('tells no hue where its own error drowns it, nor of black', () => {
    expect(oklabFromLinearWithSe([0.2, 0.17, 0.15], [0.05, 0.05, 0.05]).hueDeg).toBeNull();
    const black = oklabFromLinearWithSe([0, 0, 0], [0.001, 0.001, 0.001]);
    expect(black.hueDeg).toBeNull();
    expect(Number.isFinite(black.lightnessSe)).toBe(true);
  });
});
