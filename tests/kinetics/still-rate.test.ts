import { describe, expect, it } from 'vitest';
import { fitKinetics } from '../../src/kinetics/fit-kinetics.ts';
import { studentTQuantile } from '../../src/numeric/student-t.ts';
import { simulateSeries } from './series.ts';

/** Upper 95 % limit (two-sided) of the slope of a straight line by least squares, the textbook's formulas. */
function slopeLimit(x: readonly number[], y: readonly number[]): { readonly slope: number; readonly upper: number } {
  const n = x.length;
  const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / n;
  const [meanX, meanY] = [meanOf(x), meanOf(y)];
  const sxx = x.reduce((sum, value) => sum + (value - meanX) ** 2, 0);
  const slope = x.reduce((sum, value, i) => sum + (value - meanX) * (y[i]! - meanY), 0) / sxx;
  const squares = y.reduce((sum, value, i) => sum + (value - meanY - slope * (x[i]! - meanX)) ** 2, 0);
  return { slope, upper: slope + studentTQuantile(0.975, n - 2) * Math.sqrt(squares / (n - 2) / sxx) };
}

describe('the rate of a vial that did not move', () => {
  it('is 0, and at most the upper limit of a straight line through its frames, per second', () => {
    const seen = [300, 7200].flatMap((spanS) =>
      ['a', 'b', 'c', 'd', 'e', 'f'].flatMap((seed) => {
        const series = simulateSeries(() => 0, seed, { spanS, rho: 0, correlatedSd: 0 });
        const { slope, upper } = slopeLimit(series.timeS, series.extent as number[]);
        if (slope < 0) return []; // a rate is never below 0, and its limit then not the textbook's
        const fit = fitKinetics(series, { falseAlarm: 0.003, pathDraws: null, readAtS: null, offsetSe: 1 });
        expect(fit.model).toBe('none');
        expect(fit.initialRate).toMatchObject({ value: 0, se: null });
        expect(fit.initialRate!.ci95[0]).toBe(0);
        return [fit.initialRate!.ci95[1]! / upper];
      }),
    );
    expect(seen.length).toBeGreaterThan(3);
    // Errors are looked at for correlation too, which widens some a little.
    seen.forEach((ratio) => expect(Math.abs(ratio - 1)).toBeLessThan(0.15));
  });
});
