import { describe, expect, it } from 'vitest';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fiellerInterval } from '../../src/numeric/fieller.ts';
import { sampleMoments } from '../../src/numeric/sample-moments.ts';
import { studentTQuantile } from '../../src/numeric/student-t.ts';
import { welchTest } from '../../src/numeric/welch.ts';

/** Student (1908), data set `sleep` of R: extra hours of sleep of ten people under two drugs. */
const drug1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
const drug2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
/** Data set `PlantGrowth` of R (Dobson 1983). */
const control = [4.17, 5.58, 5.18, 6.11, 4.5, 4.61, 5.17, 4.53, 5.33, 5.14];
const treatment2 = [6.31, 5.12, 5.54, 5.5, 5.37, 5.29, 4.92, 6.15, 5.8, 5.26];

const clinic = readFileSync(path.resolve('fixtures/statistics/clinic.csv'), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split(',').map(Number));

describe('welchTest', () => {
  it('is R’s t.test on sleep', () => {
    const test = welchTest(drug1, drug2)!;
    expect(test.statistic).toBeCloseTo(-1.8608, 4);
    expect(test.df).toBeCloseTo(17.776, 3);
    expect(test.pTwoSided).toBeCloseTo(0.07939, 5);
    expect(test.interval[0]).toBeCloseTo(-3.36548, 5);
    expect(test.interval[1]).toBeCloseTo(0.20548, 5);
    expect(test.pLess + test.pGreater).toBeCloseTo(1, 12);
  });
  it('knows when there is no variance to test with', () => {
    expect(welchTest([1], [2, 3])).toBeNull();
    expect(welchTest([1, 1], [2, 2])).toBeNull();
  });
  it('has the published degrees of freedom and 90 % intervals on clinic var1 and var2 (statsmodels 0.13.5, test_tost.py, from R)', () => {
    const test = (column: number): ReturnType<typeof welchTest> =>
      welchTest(
        clinic.slice(0, 15).map((row) => row[column]!),
        clinic.slice(15).map((row) => row[column]!),
        0.9,
      );
    expect(test(2)!.df).toBeCloseTo(26.7484787582315, 10);
    expect(test(2)!.interval[0]).toBeCloseTo(-0.2666862980722534, 10);
    expect(test(2)!.interval[1]).toBeCloseTo(0.596019631405587, 10);
    expect(test(3)!.interval[1]).toBeCloseTo(0.930417082633366, 10);
  });
});

describe('fiellerInterval', () => {
  const covariance = (a: readonly number[], b: readonly number[]): number => {
    const meanA = sampleMoments(a).mean;
    const meanB = sampleMoments(b).mean;
    return a.reduce((sum, value, i) => sum + (value - meanA) * (b[i]! - meanB), 0) / (a.length - 1) / a.length;
  };
  it('is unbounded on sleep, drug 2 over drug 1, paired (recomputed in R 4.2.2)', () => {
    const set = fiellerInterval({
      numerator: sampleMoments(drug2).mean,
      denominator: sampleMoments(drug1).mean,
      numeratorVariance: covariance(drug2, drug2),
      denominatorVariance: covariance(drug1, drug1),
      covariance: covariance(drug1, drug2),
      criticalValue: studentTQuantile(0.975, 9),
    });
    if (set.kind !== 'unbounded-complement') throw new Error(`kind ${set.kind}`);
    expect(set.ratio).toBeCloseTo(3.10667, 5);
    expect(set.g).toBeCloseTo(2.912, 3);
    expect(set.below).toBeCloseTo(-2.062, 3);
    expect(set.above).toBeCloseTo(1.523, 3);
  });
  it('is bounded on PlantGrowth, treatment 2 over control, pooled variance, 18 df (recomputed in R 4.2.2)', () => {
    const pooled = (sampleMoments(control).variance! + sampleMoments(treatment2).variance!) / 2;
    const set = fiellerInterval({
      numerator: sampleMoments(treatment2).mean,
      denominator: sampleMoments(control).mean,
      numeratorVariance: pooled / 10,
      denominatorVariance: pooled / 10,
      covariance: 0,
      criticalValue: studentTQuantile(0.975, 18),
    });
    if (set.kind !== 'bounded') throw new Error(`kind ${set.kind}`);
    expect(set.ratio).toBeCloseTo(1.098172, 6);
    expect(set.lower).toBeCloseTo(1.001452, 6);
    expect(set.upper).toBeCloseTo(1.205197, 6);
  });
  const base = { numeratorVariance: 1, denominatorVariance: 1, covariance: 0, criticalValue: 2 };
  it('excludes nothing when neither mean differs from zero', () => {
    expect(fiellerInterval({ ...base, numerator: 0.1, denominator: 0.1 }).kind).toBe('whole-line');
    expect(fiellerInterval({ ...base, numerator: 0.1, denominator: 0 })).toMatchObject({
      kind: 'whole-line',
      ratio: null,
    });
  });
  it('leaves a half-line when the denominator stands exactly at its critical distance', () => {
    expect(fiellerInterval({ ...base, numerator: 3, denominator: 2 })).toMatchObject({ below: null, above: 5 / 12 });
    expect(fiellerInterval({ ...base, numerator: -3, denominator: 2 })).toMatchObject({ below: -5 / 12, above: null });
  });
  it('refuses numbers that no estimate can have', () => {
    expect(() => fiellerInterval({ ...base, numerator: Number.NaN, denominator: 1 })).toThrow(RangeError);
    expect(() => fiellerInterval({ ...base, numerator: 1, denominator: 1, numeratorVariance: -1 })).toThrow(RangeError);
  });
});
