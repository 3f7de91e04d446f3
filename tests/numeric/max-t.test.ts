import { describe, expect, it } from 'vitest';
import { maxTCritical, maxTDistribution } from '../../src/numeric/max-t.ts';
import { normalCdf } from '../../src/numeric/normal.ts';
import { studentTQuantile } from '../../src/numeric/student-t.ts';

const equal = (k: number, r: number): readonly (readonly number[])[] =>
  Array.from({ length: k }, (_, i) => Array.from({ length: k }, (_, j) => (i === j ? 1 : r)));

/** C. W. Dunnett, J. Am. Stat. Assoc. 50:1096 (1955), table 1a (one-sided); two-sided recomputed; k = 2..5, alpha .05. */
const dunnett = [
  ['one', 10, [2.15, 2.34, 2.47, 2.56]],
  ['one', 20, [2.03, 2.19, 2.3, 2.39]],
  ['two', 10, [2.57, 2.76, 2.89, 2.99]],
  ['two', 20, [2.38, 2.54, 2.65, 2.74]],
] as const;

describe('maxTCritical', () => {
  it.each(dunnett)('gives Dunnett’s values, %s-sided, df %d', (sided, df, values) => {
    values.forEach((value, i) => {
      const critical = maxTCritical({ correlation: equal(i + 2, 0.5), df, alpha: 0.05, sided });
      expect(Math.abs(critical - value)).toBeLessThan(0.0061);
    });
  });
  it('is Student’s value for one statistic', () => {
    expect(maxTCritical({ correlation: [[1]], df: 7, alpha: 0.05, sided: 'two' })).toBe(studentTQuantile(0.975, 7));
  });
  it('is Šidák’s value for independent normal statistics', () => {
    const critical = maxTCritical({ correlation: equal(4, 0), df: Infinity, alpha: 0.05, sided: 'one' });
    expect(normalCdf(critical) ** 4).toBeCloseTo(0.95, 8);
  });
  it('has the quadrant probability 1/4 + asin(r)/(2 pi) of two normal statistics', () => {
    for (const r of [-0.9, -0.3, 0.5, 0.99]) {
      const probability = maxTDistribution({ correlation: equal(2, r), df: Infinity, sided: 'one' })(0);
      expect(probability).toBeCloseTo(0.25 + Math.asin(r) / (2 * Math.PI), 7);
    }
  });
  it('meets the quadrature where a matrix is almost of one-factor form', () => {
    const nudged = equal(4, 0.5).map((row, i) => row.map((r, j) => (i + j === 1 ? r + 1e-6 : r)));
    for (const sided of ['one', 'two'] as const) {
      const lattice = maxTCritical({ correlation: nudged, df: 10, alpha: 0.05, sided });
      const exact = maxTCritical({ correlation: equal(4, 0.5), df: 10, alpha: 0.05, sided });
      expect(Math.abs(lattice - exact)).toBeLessThan(0.02);
    }
  });
  it('allows a singular matrix: two equal statistics are one', () => {
    const critical = maxTCritical({ correlation: equal(3, 1), df: 10, alpha: 0.05, sided: 'one' });
    expect(critical).toBeCloseTo(studentTQuantile(0.95, 10), 2);
  });
  it('refuses what is no correlation matrix', () => {
    const wrong = [
      [],
      [[2]],
      [
        [1, 0.5],
        [0.4, 1],
      ],
      [
        [1, 1.2],
        [1.2, 1],
      ],
      [[1, 0]],
    ];
    for (const correlation of wrong) {
      expect(() => maxTCritical({ correlation, df: 5, alpha: 0.05, sided: 'one' })).toThrow(RangeError);
    }
    const indefinite = [
      [1, 0.9, -0.9],
      [0.9, 1, 0.9],
      [-0.9, 0.9, 1],
    ];
    expect(() => maxTCritical({ correlation: indefinite, df: 5, alpha: 0.05, sided: 'one' })).toThrow(RangeError);
  });
});
