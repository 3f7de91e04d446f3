import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { halfWidth, totalSe } from '../../src/judge/variance-parts.ts';
import { singleCritical } from '../../src/judge/critical-values.ts';
import { sampleMoments } from '../../src/numeric/sample-moments.ts';

/** Student (1908), data set `sleep` of R: extra hours of sleep of ten people under two drugs. */
const drug1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
const drug2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
const clinic = readFileSync(path.resolve('fixtures/statistics/clinic.csv'), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split(',').map(Number));

/** Two groups as the judge holds them: each mean's variance with the degrees of freedom of its own group. */
function groups(first: readonly number[], second: readonly number[]) {
  const [a, b] = [sampleMoments(first), sampleMoments(second)];
  return {
    difference: a.mean - b.mean,
    parts: [a, b].map(({ variance, count }) => ({ variance: variance! / count, df: count - 1 })),
  };
}

describe('two groups of unequal variance', () => {
  it('differ with the standard error and, a little wider, the interval of R’s t.test (Welch) on sleep', () => {
    const { difference, parts } = groups(drug1, drug2);
    expect(difference / totalSe(parts)).toBeCloseTo(-1.8608, 4);
    const half = halfWidth(parts, (df) => singleCritical(0.025, df));
    const welch = (0.20548 + 3.36548) / 2;
    expect(half).toBeGreaterThan(welch);
    expect(half).toBeLessThan(1.08 * welch);
  });

  it('lie within margins as the published two one-sided tests say on clinic (statsmodels 0.13.5, test_tost.py, from R)', () => {
    const bounds = (column: number) => {
      const of = (rows: readonly number[][]) => rows.map((row) => row[column]!);
      const { difference, parts } = groups(of(clinic.slice(0, 15)), of(clinic.slice(15)));
      return { difference, half: halfWidth(parts, (df) => singleCritical(0.05, df)) };
    };
    // published interval -0.26669 to 0.59602: inside -+0.6 by the thinnest margin, p 0.0485
    const first = bounds(2);
    expect(first.difference).toBeCloseTo((0.596019631405587 - 0.2666862980722534) / 2, 10);
    const published = (0.596019631405587 + 0.2666862980722534) / 2;
    expect(first.half).toBeGreaterThan(published);
    expect(first.half).toBeLessThan(1.04 * published);
    // published p 0.43: not equivalent, upper end 0.9304
    const second = bounds(3);
    expect(second.difference + second.half).toBeGreaterThan(0.930417082633366);
    expect(second.difference + second.half).toBeLessThan(0.96);
  });
});
