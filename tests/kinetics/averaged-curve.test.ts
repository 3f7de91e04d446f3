import { describe, expect, it } from 'vitest';
import { averagedCurve, type CurveParts } from '../../src/kinetics/averaged-curve.ts';
import type { PathBends } from '../../src/kinetics/path-bends.ts';

const none: CurveParts['models'][number] = { name: 'none', weight: 1, b: [0.1], covariance: [4e-4] };
/** Extent 0.1 + 0.5 x time over span. */
const straight: CurveParts['models'][number] = {
  name: 'zero-order',
  weight: 3,
  b: [0.1, 0.5],
  covariance: [4e-4, -2e-4, -2e-4, 9e-4],
};
const curveOf = (models: CurveParts['models'], readAtS: number | null = null, bends: PathBends | null = null) =>
  averagedCurve({ spanS: 1000, t: 2, models }, readAtS, bends);

describe('the curve of a fit and its band', () => {
  it('runs over the whole span, closer at the beginning, with a point at the reading time', () => {
    const { timeS } = curveOf([none]);
    expect([timeS.length, timeS[0], timeS.at(-1)]).toEqual([80, 0, 1000]);
    const steps = timeS.slice(1).map((time, i) => time - timeS[i]!);
    expect(steps.every((step, i) => step > 0 && (i === 0 || step > steps[i - 1]!))).toBe(true);
    expect(curveOf([none], 333).timeS).toContain(333);
    expect(curveOf([none], 333).timeS).toEqual([...timeS, 333].sort((first, second) => first - second));
    for (const beside of [0, 1000, 1200]) expect(curveOf([none], beside).timeS).toEqual(timeS);
  });

  it('is t standard errors wide on either side by the law of propagation (GUM 5.2.2), path and offset included', () => {
    const bends: PathBends = { components: [], startSd: 0, variance: (extent) => 1e-3 * extent };
    for (const withPath of [null, bends]) {
      const { timeS, extent, lower, upper } = curveOf([straight], 400, withPath);
      timeS.forEach((time, i) => {
        const x = time / 1000;
        const variance = 4e-4 + 2 * x * -2e-4 + x ** 2 * 9e-4 + (withPath === null ? 0 : 1e-3 * 0.5 * x);
        expect(extent[i]).toBeCloseTo(0.1 + 0.5 * x, 12);
        expect(upper[i]! - extent[i]!).toBeCloseTo(2 * Math.sqrt(variance), 12);
        expect(extent[i]! - lower[i]!).toBeCloseTo(2 * Math.sqrt(variance), 12);
      });
    }
  });

  it('averages models by weight, with the variance within and between them (law of total variance)', () => {
    const { timeS, extent, upper } = curveOf([none, straight]);
    timeS.forEach((time, i) => {
      const x = time / 1000;
      const within = 0.25 * 4e-4 + 0.75 * (4e-4 - 4e-4 * x + 9e-4 * x ** 2);
      expect(extent[i]).toBeCloseTo(0.1 + 0.75 * 0.5 * x, 12);
      expect(upper[i]! - extent[i]!).toBeCloseTo(2 * Math.sqrt(within + 0.25 * 0.75 * (0.5 * x) ** 2), 12);
    });
  });
});
