import { describe, expect, it } from 'vitest';
import { fitCurve } from '../../src/numeric/fit-curve.ts';
import { numericJacobian } from '../../src/numeric/numeric-jacobian.ts';
import { createRandom } from '../../src/numeric/random.ts';

/**
 * Problems of the kinds that are known to be hard (sums of exponentials, overlapping peaks, rational functions, parameters
 * nine powers of ten apart, exponents), made here with known truth and noise; starts as far off as certified sets have them.
 * The reference is the fit from the truth itself.
 */
interface HardCurve {
  readonly name: string;
  readonly f: (b: readonly number[], x: number) => number;
  readonly truth: readonly number[];
  readonly starts: readonly (readonly number[])[];
  readonly x: readonly number[];
  readonly noise: number;
}

const line = (from: number, to: number, count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
const peak = (x: number, at: number, width: number): number => Math.exp(-(((x - at) / width) ** 2));

const curves: readonly HardCurve[] = [
  {
    name: 'three decays to six digits',
    f: (b, x) => b[0]! * Math.exp(-b[1]! * x) + b[2]! * Math.exp(-b[3]! * x) + b[4]! * Math.exp(-b[5]! * x),
    truth: [0.1, 1.1, 0.8, 3.2, 1.6, 5.1],
    starts: [
      [1.3, 0.4, 5.2, 5.1, 6, 7.4],
      [0.6, 0.8, 3.4, 4, 3.8, 6],
    ],
    x: line(0, 1.15, 24),
    noise: 3e-7,
  },
  {
    name: 'two decays close together over a constant',
    f: (b, x) => b[0]! + b[1]! * Math.exp(-b[3]! * x) + b[2]! * Math.exp(-b[4]! * x),
    truth: [0.4, 2, -1.5, 0.013, 0.022],
    starts: [
      [50, 150, -100, 1, 2],
      [0.5, 1.5, -1, 0.01, 0.02],
    ],
    x: line(0, 320, 33),
    noise: 0.0015,
  },
  {
    name: 'two peaks on a decaying ground',
    f: (b, x) => b[0]! * Math.exp(-b[1]! * x) + b[2]! * peak(x, b[3]!, b[4]!) + b[5]! * peak(x, b[6]!, b[7]!),
    truth: [99, 0.011, 100, 112, 23, 74, 148, 20],
    starts: [
      [95, 0.009, 90, 113, 20, 74, 140, 20],
      [96, 0.0096, 80, 110, 25, 74, 139, 25],
    ],
    x: line(1, 250, 125),
    noise: 2.5,
  },
  {
    name: 'a narrow peak looked for beside it',
    f: (b, x) => (b[0]! / b[1]!) * Math.exp(-0.5 * ((x - b[2]!) / b[1]!) ** 2),
    truth: [1.55, 4.1, 451],
    starts: [
      [1, 10, 500],
      [1.5, 5, 450],
    ],
    x: line(400, 500, 35),
    noise: 0.007,
  },
  {
    name: 'cubic over cubic',
    f: (b, x) => (b[0]! + x * (b[1]! + x * (b[2]! + x * b[3]!))) / (1 + x * (b[4]! + x * (b[5]! + x * b[6]!))),
    truth: [1.1, -0.12, 0.0041, -1.4e-6, -0.0058, 2.4e-4, -1.2e-7],
    starts: [
      [10, -1, 0.05, -1e-5, -0.05, 0.001, -1e-6],
      [1, -0.1, 0.005, -1e-6, -0.005, 1e-4, -1e-7],
    ],
    x: line(24, 850, 118),
    noise: 0.08,
  },
  {
    name: 'an exponent over a shifted predictor',
    f: (b, x) => b[0]! * Math.exp(b[1]! / (x + b[2]!)),
    truth: [0.0056, 6200, 345],
    starts: [
      [2, 400_000, 25_000],
      [0.02, 4000, 250],
    ],
    x: line(50, 125, 16),
    noise: 2.6,
  },
  {
    name: 'amplitudes nine powers of ten apart',
    f: (b, x) => b[0]! - b[1]! * x * Math.exp(-b[2]! * x),
    truth: [2.6, 5.6e-9, -0.06],
    starts: [
      [2, 1e-4, -0.01],
      [2.5, 5e-9, -0.05],
    ],
    x: line(180, 275, 64),
    noise: 0.05,
  },
];

const digits = (got: number | null, wanted: number | null): number =>
  -Math.log10(Math.abs((got ?? Number.NaN) / (wanted ?? Number.NaN) - 1) + 1e-16);

describe('hard curves, from both starts', () => {
  it.each(curves)('$name', ({ name, f, truth, starts, x, noise }) => {
    for (const seed of [1, 2]) {
      const random = createRandom(`${name} ${seed}`);
      const y = x.map((at) => f(truth, at) + noise * random.normal());
      const model = { f, parameterCount: truth.length };
      const reference = fitCurve(model, x, y, { start: truth });
      for (const start of starts) {
        const fit = fitCurve(model, x, y, { start });
        expect(fit.status).toBe('converged');
        fit.parameters.forEach((value, j) => expect(digits(value, reference.parameters[j]!)).toBeGreaterThan(6));
        fit.standardErrors.forEach((value, j) =>
          expect(digits(value, reference.standardErrors[j]!)).toBeGreaterThan(4),
        );
      }
    }
  });
});

describe('equal terms of a sum', () => {
  it('come in the order of the start, whichever that is', () => {
    const f = (b: readonly number[], x: number): number => b[0]! * Math.exp(-b[1]! * x) + b[2]! * Math.exp(-b[3]! * x);
    const x = line(0, 3, 40);
    const y = x.map((at) => f([2, 0.7, 1, 4], at));
    const one = fitCurve({ f, parameterCount: 4 }, x, y, { start: [1, 0.5, 1, 5] });
    const other = fitCurve({ f, parameterCount: 4 }, x, y, { start: [1, 5, 1, 0.5] });
    [2, 0.7, 1, 4].forEach((value, j) => expect(one.parameters[j]).toBeCloseTo(value, 8));
    [1, 4, 2, 0.7].forEach((value, j) => expect(other.parameters[j]).toBeCloseTo(value, 8));
  });
  it('and signs are the start’s where they make no difference', () => {
    const x = line(0, 3, 40);
    const y = x.map((at) => 2 * peak(at, 1.2, 0.4));
    const f = (b: readonly number[], at: number): number => b[0]! * peak(at, b[1]!, b[2]!);
    expect(fitCurve({ f, parameterCount: 3 }, x, y, { start: [1, 1, 1] }).parameters[2]).toBeCloseTo(0.4, 8);
    expect(fitCurve({ f, parameterCount: 3 }, x, y, { start: [1, 1, -1] }).parameters[2]).toBeCloseTo(-0.4, 8);
  });
  it('keep to their bounds', () => {
    const f = (b: readonly number[], x: number): number => Math.exp(-b[0]! * x) + Math.exp(-b[1]! * x);
    const x = line(0, 3, 40);
    const y = x.map((at) => f([0.7, 4], at));
    const fit = fitCurve({ f, parameterCount: 2 }, x, y, { start: [0.8, 0.9], lower: [0, 0], upper: [1, 10] });
    expect(fit.parameters[0]).toBeCloseTo(0.7, 8);
    expect(fit.parameters[1]).toBeCloseTo(4, 8);
  });
});

describe('numeric derivatives', () => {
  it('agree with analytic ones to nine digits, whatever the size of a parameter', () => {
    for (const scale of [1e-9, 1, 1e9]) {
      const x = line(0.1, 3, 20);
      const evaluate = (b: Float64Array): Float64Array =>
        Float64Array.from(x, (at) => b[0]! * Math.exp((-b[1]! / scale) * at));
      const at = Float64Array.of(2e5, 0.8 * scale);
      const found = numericJacobian({
        evaluate,
        at,
        value: evaluate(at),
        lower: [-Infinity, -Infinity],
        upper: [Infinity, Infinity],
        steps: at.map((value) => 1e-3 * value),
      });
      x.forEach((point, i) => {
        const left = Math.exp(-0.8 * point);
        expect(digits(found[0]![i]!, left)).toBeGreaterThan(9);
        expect(digits(found[1]![i]!, (-2e5 * point * left) / scale)).toBeGreaterThan(8.5);
      });
    }
  });
});

describe('what cannot be told has its status', () => {
  const decay = (b: readonly number[], x: number): number => b[0]! * Math.exp(-b[1]! * x);
  it('a flat direction: a decay all of whose points lie after its end', () => {
    const fit = fitCurve({ f: decay, parameterCount: 2 }, [0, 100, 200, 300], [1, 0, 0, 0], { start: [1, 50] });
    expect(fit.status).toBe('not-identifiable');
    expect(fit.standardErrors).toEqual([null, null]);
  });
  it('two terms that are one: a start with equal rates', () => {
    const f = (b: readonly number[], x: number): number => decay(b, x) + decay(b.slice(2), x);
    const x = line(0, 3, 30);
    const random = createRandom('one term');
    const y = x.map((at) => 3 * Math.exp(-at) + 0.01 * random.normal());
    const fit = fitCurve({ f, parameterCount: 4 }, x, y, { start: [1, 1, 2, 1] });
    // whatever it is called, no error may be stated that the data do not give
    if (fit.status === 'converged') for (const se of fit.standardErrors) expect(se).toBeGreaterThan(0.003);
    else expect(fit.reason).not.toBeNull();
    const squares = ({ residualStandardDeviation: sd, degreesOfFreedom: df }: typeof fit): number => sd! ** 2 * df;
    const single = fitCurve({ f: decay, parameterCount: 2 }, x, y, { start: [1, 1] });
    expect(squares(fit)).toBeLessThanOrEqual(squares(single) * (1 + 1e-9));
  });
  it('a minimum that only a bound keeps out', () => {
    const x = line(0, 3, 30);
    const fit = fitCurve(
      { f: decay, parameterCount: 2 },
      x,
      x.map((at) => decay([2, 1], at)),
      {
        start: [1, 0.2],
        lower: [0, 0],
        upper: [10, 0.5],
      },
    );
    expect(fit).toMatchObject({ status: 'at-bound', reason: 'parameter 2 stands at a bound' });
    expect(fit.parameters[1]).toBe(0.5);
    expect(fit.standardErrors[1]).toBeNull();
    expect(fit.standardErrors[0]).toBeGreaterThan(0);
  });
  it.each([
    ['fewer points than parameters', [1], [1]],
    ['a value that is not a number', [0, 1, 2], [1, Number.NaN, 0.2]],
    ['an infinite predictor', [0, Infinity, 2], [1, 0.5, 0.2]],
    ['no points', [], []],
  ] as const)('%s', (_, x, y) => {
    const fit = fitCurve({ f: decay, parameterCount: 2 }, x, y, { start: [1, 1] });
    expect(fit.status).toBe('failed');
    expect(fit.reason).toMatch(/\w/);
    expect(fit.parameters).toEqual([1, 1]);
    expect(fit.covariance.flat()).toEqual([null, null, null, null]);
  });
  it('constant data', () => {
    const fit = fitCurve({ f: decay, parameterCount: 2 }, [0, 1, 2, 3], [0, 0, 0, 0], { start: [1, 1] });
    expect(['not-identifiable', 'converged']).toContain(fit.status);
    expect(fit.parameters.every(Number.isFinite)).toBe(true);
  });
});
