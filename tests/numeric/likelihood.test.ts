import { describe, expect, it } from 'vitest';
import { fitCurve } from '../../src/numeric/fit-curve.ts';
import { akaikeWeights, correctedAic } from '../../src/numeric/information-criteria.ts';
import { profileInterval } from '../../src/numeric/profile-interval.ts';
import { studentTQuantile } from '../../src/numeric/student-t.ts';
import { nistModels, readNistSet } from './nist-sets.ts';

function squaresOf(name: string): { squares: number; count: number } {
  const set = readNistSet(name);
  const fit = fitCurve(nistModels[name]!, set.x, set.y, { start: set.starts[1]! });
  return { squares: fit.residualStandardDeviation! ** 2 * fit.degreesOfFreedom, count: set.y.length };
}

/** Minus twice the log-likelihood of a least-squares fit with normal errors; their variance counts as a parameter. */
function aiccOf(name: string): number | null {
  const { squares, count } = squaresOf(name);
  const deviance = count * (Math.log((2 * Math.PI * squares) / count) + 1);
  return correctedAic(deviance, 2 + 1, count);
}

describe('AICc (R 4.2.2 on NIST data)', () => {
  it('of BoxBOD', () => {
    expect(aiccOf('BoxBOD')).toBeCloseTo(66.65504, 4);
  });
  it.each([
    ['Misra1a', -17.979],
    ['Misra1b', -24.994],
    ['Misra1c', -33.546],
  ] as const)('of %s', (name, value) => {
    expect(Math.abs(aiccOf(name)! - value)).toBeLessThan(0.001);
  });
  it('chooses the third order law on the Misra data', () => {
    const weights = akaikeWeights(['Misra1a', 'Misra1b', 'Misra1c'].map(aiccOf));
    expect(weights[2]).toBeGreaterThan(0.95);
    expect(weights.reduce<number>((sum, weight) => sum + weight!, 0)).toBeCloseTo(1, 12);
    expect(akaikeWeights([null, 3])).toEqual([null, 1]);
  });
  it('is not known with too few points', () => {
    expect(correctedAic(1, 3, 4)).toBeNull();
    expect(correctedAic(1, 3, 5)).not.toBeNull();
  });
});

describe('profileInterval', () => {
  const { x, y, certified } = readNistSet('BoxBOD');
  const { squares, count } = squaresOf('BoxBOD');
  const profile =
    (index: 0 | 1) =>
    (theta: number): number => {
      const other = fitCurve(
        {
          parameterCount: 1,
          f: (b, at) => nistModels['BoxBOD']!.f(index === 0 ? [theta, b[0]!] : [b[0]!, theta], at),
        },
        x,
        y,
        { start: [certified[1 - index]!] },
      );
      return (other.residualStandardDeviation! ** 2 * other.degreesOfFreedom - squares) / (squares / (count - 2));
    };
  /** The same limits by scipy 1.17.1, root of the profile (brentq). */
  const exact = [
    [180.9670046726561, 258.56777710881886],
    [0.3025896226877314, 1.0730532049763686],
  ] as const;
  it.each([
    [0, 180.977, 258.581, 30],
    [1, 0.30329, 1.07335, 0.2],
  ] as const)('has the published 95 %% limits of BoxBOD b%d (R 4.2.2)', (index, low, high, step) => {
    const threshold = studentTQuantile(0.975, 4) ** 2;
    const [lower, upper] = profileInterval({
      deviance: profile(index),
      estimate: certified[index]!,
      step,
      lower: 0,
      upper: 1e4,
      threshold,
      tolerance: 1e-7,
    });
    // R interpolates its profile between a few points: its own limits are good to about 0.3 %.
    expect(Math.abs(lower! / low - 1)).toBeLessThan(0.003);
    expect(Math.abs(upper! / high - 1)).toBeLessThan(0.003);
    exact[index].forEach((value, i) => expect(Math.abs([lower!, upper!][i]! / value - 1)).toBeLessThan(1e-5));
  });
  it('leaves a side open that the data do not close', () => {
    const found = profileInterval({
      deviance: (theta) => 10 / (1 + Math.exp(theta + 2)) - 10 / (1 + Math.exp(8)),
      estimate: 6,
      step: 1,
      lower: -50,
      upper: 6.5,
      threshold: 3.84,
    });
    expect(found[1]).toBeNull();
    expect(found[0]).toBeGreaterThan(-2.2);
    expect(found[0]).toBeLessThan(-1.2);
  });
});
