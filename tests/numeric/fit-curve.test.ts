import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitCurve } from '../../src/numeric/fit-curve.ts';
import { nistModels, readNistSet } from './nist-sets.ts';

const firstOrder = { parameterCount: 2, f: (b: readonly number[], x: number) => b[0]! * (1 - Math.exp(-b[1]! * x)) };
/** Correct significant digits, as NIST counts them: -log10 of the relative error. */
const digits = (got: number | null, certified: number): number =>
  -Math.log10(Math.abs((got ?? Number.NaN) / certified - 1));

describe('NIST StRD nonlinear regression (public domain), both starts, no analytic derivatives', () => {
  it.each(Object.keys(nistModels).flatMap((name) => [[name, 0] as const, [name, 1] as const]))(
    '%s, start %d',
    (name, start) => {
      const set = readNistSet(name);
      const fit = fitCurve(nistModels[name]!, set.x, set.y, { start: set.starts[start]! });
      expect(fit.status).toBe('converged');
      set.certified.forEach((value, j) => expect(digits(fit.parameters[j]!, value)).toBeGreaterThan(6.3));
      set.deviations.forEach((value, j) => expect(digits(fit.standardErrors[j]!, value)).toBeGreaterThan(5));
      expect(digits(fit.residualStandardDeviation, set.residualStandardDeviation)).toBeGreaterThan(6);
    },
  );
});

describe('answers do not depend on units', () => {
  const set = readNistSet('MGH09');
  const reference = fitCurve(nistModels['MGH09']!, set.x, set.y, { start: set.starts[1]! });
  it('of x, y and the parameters', () => {
    const factor = fc.integer({ min: -9, max: 9 }).map((power) => 10 ** power * 1.7);
    fc.assert(
      fc.property(factor, factor, fc.array(factor, { minLength: 4, maxLength: 4 }), (scaleX, scaleY, scaleB) => {
        const fit = fitCurve(
          {
            parameterCount: 4,
            f: (b, x) =>
              scaleY *
              nistModels['MGH09']!.f(
                b.map((value, j) => value / scaleB[j]!),
                x / scaleX,
              ),
          },
          set.x.map((value) => value * scaleX),
          set.y.map((value) => value * scaleY),
          { start: set.starts[1]!.map((value, j) => value * scaleB[j]!) },
        );
        expect(fit.status).toBe('converged');
        fit.parameters.forEach((value, j) => {
          expect(Math.abs(value / scaleB[j]! / reference.parameters[j]! - 1)).toBeLessThan(1e-6);
          expect(Math.abs(fit.standardErrors[j]! / scaleB[j]! / reference.standardErrors[j]! - 1)).toBeLessThan(1e-5);
        });
        expect(
          Math.abs(fit.residualStandardDeviation! / scaleY / reference.residualStandardDeviation! - 1),
        ).toBeLessThan(1e-6);
      }),
      { numRuns: 40, seed: 7 },
    );
  });
});

describe('bounds', () => {
  const { x, y, certified } = readNistSet('BoxBOD');
  it('ends at a bound that keeps the minimum out, and says so', () => {
    const fit = fitCurve(firstOrder, x, y, { start: [150, 0.5], lower: [0, 0], upper: [200, 10] });
    expect(fit.status).toBe('at-bound');
    expect(fit.reason).toContain('parameter 1');
    expect(fit.parameters[0]).toBe(200);
    expect(fit.standardErrors[0]).toBeNull();
    expect(fit.standardErrors[1]).toBeGreaterThan(0);
    const other = fitCurve({ parameterCount: 1, f: (b, at) => 200 * (1 - Math.exp(-b[0]! * at)) }, x, y, {
      start: [0.5],
    });
    expect(digits(fit.parameters[1]!, other.parameters[0]!)).toBeGreaterThan(6);
  });
  it('does not change a minimum inside', () => {
    const fit = fitCurve(firstOrder, x, y, { start: [300, 2], lower: [100, 0.1], upper: [300, 2] });
    expect(fit.status).toBe('converged');
    expect(digits(fit.parameters[0]!, certified[0]!)).toBeGreaterThan(6);
  });
  it('never evaluates the model outside', () => {
    let outside = 0;
    fitCurve(
      { parameterCount: 2, f: (b, at) => ((outside += b[1]! < 0 || b[1]! > 1 ? 1 : 0), firstOrder.f(b, at)) },
      x,
      y,
      { start: [100, 1], lower: [-Infinity, 0], upper: [Infinity, 1] },
    );
    expect(outside).toBe(0);
  });
});

describe('weights and predictors', () => {
  it('uses inverse variances: the closed form of a weighted mean', () => {
    const fit = fitCurve({ parameterCount: 1, f: (b) => b[0]! }, [0, 0, 0], [1, 2, 4], {
      start: [0],
      weights: [1, 2, 1],
    });
    expect(fit.parameters[0]).toBeCloseTo(9 / 4, 12);
    const variance = (1 * (1 - 2.25) ** 2 + 2 * (2 - 2.25) ** 2 + (4 - 2.25) ** 2) / 2;
    expect(fit.standardErrors[0]).toBeCloseTo(Math.sqrt(variance / 4), 12);
  });
  it('leaves out points of weight 0', () => {
    const { x, y, starts, certified } = readNistSet('BoxBOD');
    const fit = fitCurve(firstOrder, [...x, 4], [...y, 1e6], { start: starts[1]!, weights: [...x.map(() => 1), 0] });
    expect(digits(fit.parameters[1]!, certified[1]!)).toBeGreaterThan(6);
    expect(fit.degreesOfFreedom).toBe(4);
  });
  it('takes several predictors', () => {
    const points = [
      [0, 1],
      [1, 2],
      [2, 1],
      [3, 5],
      [4, 2],
    ] as const;
    const fit = fitCurve<readonly [number, number]>(
      { parameterCount: 2, f: (b, [u, v]) => b[0]! * u + Math.exp(b[1]! * v) },
      points,
      points.map(([u, v]) => 3 * u + Math.exp(0.25 * v)),
      { start: [1, 0.1] },
    );
    expect(fit.status).toBe('converged');
    expect(fit.parameters[0]).toBeCloseTo(3, 9);
    expect(fit.parameters[1]).toBeCloseTo(0.25, 9);
  });
  it('uses derivatives that are given', () => {
    const { x, y, starts, certified } = readNistSet('Misra1a');
    const model = {
      ...firstOrder,
      jacobian: (b: readonly number[], at: number) => [1 - Math.exp(-b[1]! * at), b[0]! * at * Math.exp(-b[1]! * at)],
    };
    const fit = fitCurve(model, x, y, { start: starts[0]! });
    certified.forEach((value, j) => expect(digits(fit.parameters[j]!, value)).toBeGreaterThan(7));
  });
});

describe('what cannot be fitted is said', () => {
  it('parameters that only act together', () => {
    const fit = fitCurve({ parameterCount: 2, f: (b, x) => b[0]! * b[1]! * x }, [1, 2, 3], [2.1, 3.9, 6], {
      start: [1, 1],
    });
    expect(fit.status).toBe('not-identifiable');
    expect(fit.standardErrors).toEqual([null, null]);
  });
  it('a parameter without effect', () => {
    const fit = fitCurve({ parameterCount: 2, f: (b, x) => b[0]! * x }, [1, 2, 3], [2.1, 3.9, 6], { start: [1, 1] });
    expect(fit.status).toBe('not-identifiable');
  });
  it('unusable data, without throwing', () => {
    const model = firstOrder;
    const failures = [
      fitCurve(model, [1, 2, 3], [1, Number.NaN, 3], { start: [1, 1] }),
      fitCurve(model, [1, Infinity, 3], [1, 2, 3], { start: [1, 1] }),
      fitCurve(model, [1, 2], [1, 2, 3], { start: [1, 1] }),
      fitCurve(model, [1], [1], { start: [1, 1] }),
      fitCurve(model, [1, 2, 3], [1, 2, 3], { start: [1, 1], lower: [2, 0] }),
      fitCurve(model, [1, 2, 3], [1, 2, 3], { start: [1, Number.NaN] }),
      fitCurve(model, [1, 2, 3], [1, 2, 3], { start: [1, 1], weights: [1, -1, 1] }),
      fitCurve({ parameterCount: 1, f: () => Number.NaN }, [1, 2], [1, 2], { start: [1] }),
    ];
    for (const fit of failures) {
      expect(fit.status).toBe('failed');
      expect(fit.reason).toMatch(/\w{3}/);
      expect(fit.residualStandardDeviation).toBeNull();
    }
    expect(new Set(failures.map((fit) => fit.reason)).size).toBeGreaterThanOrEqual(6);
  });
  it('misuse by the programmer throws RangeError', () => {
    expect(() => fitCurve({ parameterCount: 0, f: () => 0 }, [1], [1], { start: [] })).toThrow(RangeError);
    expect(() => fitCurve(firstOrder, [1], [1], { start: [1] })).toThrow(RangeError);
    expect(() => fitCurve(firstOrder, [1], [1], { start: [1, 1], lower: [2, 2], upper: [1, 3] })).toThrow(RangeError);
  });
  it('as many points as parameters: the curve, without errors', () => {
    const fit = fitCurve(firstOrder, [1, 2], [2 * (1 - Math.exp(-0.5)), 2 * (1 - Math.exp(-1))], { start: [1, 1] });
    expect(fit.status).toBe('converged');
    expect(fit.parameters[1]).toBeCloseTo(0.5, 8);
    expect(fit.residualStandardDeviation).toBeNull();
  });
});
