import { describe, expect, it } from 'vitest';
import { boundsOf } from '../../src/judge/bounds.ts';
import { createFamilyCritical, singleCritical } from '../../src/judge/critical-values.ts';
import type { Difference } from '../../src/judge/difference.ts';
import { oneVialMore } from '../../src/judge/one-vial-more.ts';
import type { Evidence } from '../../src/judge/outcome.ts';
import { marginExtent } from '../../src/judge/margin.ts';
import type { Run } from '../../src/model/run.ts';

const pooled = (loading: number) => ({ loading, ownVariance: false });
const own = { loading: 0.5, ownVariance: true };

describe('one-sided critical values', () => {
  // t(0.95): any table of Student's t; half-widths of one vial against m negatives in spreads, t sqrt(1 + 1/m).
  it.each([
    [2, 6.314, 7.7],
    [3, 2.92, 3.4],
    [4, 2.353, 2.6],
  ])('of one sample against %i negatives are Student’s, %f', (m, t, spreads) => {
    expect(singleCritical(0.05, m - 1)).toBeCloseTo(t, 3);
    expect(createFamilyCritical(0.05)([pooled(0.5)])(0, m - 1)).toBe(singleCritical(0.05, m - 1));
    expect(singleCritical(0.05, m - 1) * Math.sqrt(1 + 1 / m)).toBeCloseTo(spreads, 1);
  });

  it('take degrees of freedom rounded down, at least 1, and beyond 200 the normal distribution', () => {
    expect(singleCritical(0.05, 3.99)).toBe(singleCritical(0.05, 3));
    expect(singleCritical(0.05, 0.4)).toBe(singleCritical(0.05, 1));
    expect(singleCritical(0.05, 200)).toBeCloseTo(1.6525, 3);
    expect(singleCritical(0.05, 201)).toBeCloseTo(1.6449, 4);
  });

  // C. W. Dunnett, J. Am. Stat. Assoc. 50:1096 (1955), table 1a: as many negatives as vials of each sample, correlation 1/2.
  it.each([
    [2, 10, 2.15],
    [3, 10, 2.34],
    [5, 20, 2.39],
  ])('of %i samples that share the negatives, df %i, are Dunnett’s %f, or a hair more', (k, df, published) => {
    const family = Array.from({ length: k }, () => pooled(Math.SQRT1_2));
    const found = createFamilyCritical(0.05)(family)(0, df);
    expect(found).toBeGreaterThan(published - 0.0061);
    expect(found).toBeLessThan(published + 0.012);
  });

  it('are nowhere below what the true correlation asks, and differ with it', () => {
    const critical = createFamilyCritical(0.05);
    const at = (loading: number): number => critical([loading, loading, loading].map(pooled))(0, 10);
    expect(at(0.79)).toBe(at(0.7));
    expect(at(0.8)).toBeLessThan(at(0.79));
    expect(at(0.9)).toBeLessThan(at(0.8));
    expect(at(1)).toBe(at(0.9));
    expect(at(0.9)).toBeGreaterThan(singleCritical(0.05, 10));
    const unlike = [pooled(0.3), pooled(0.9)];
    expect(critical(unlike)(0, 10)).toBe(critical([...unlike].reverse())(0, 10));
    expect(critical(unlike)(0, 10)).toBeGreaterThan(critical([pooled(0.9), pooled(0.9)])(0, 10));
  });

  it('set a share of alpha aside for a sample with a variance of its own (Bonferroni)', () => {
    const critical = createFamilyCritical(0.06)([pooled(0.5), own, own]);
    expect(critical(1, 4)).toBe(singleCritical(0.02, 4));
    expect(critical(0, 4)).toBe(singleCritical(0.02, 4));
    const two = createFamilyCritical(0.06)([pooled(0.5), pooled(0.5), own]);
    expect(two(2, 4)).toBe(singleCritical(0.02, 4));
    expect(two(0, 4)).toBe(createFamilyCritical(0.04)([pooled(0.5), pooled(0.5)])(0, 4));
  });
});

describe('bounds of several samples', () => {
  const sample = (value: number, sd = 0.01): Difference =>
    ({
      value,
      parts: [{ variance: sd ** 2, df: Infinity }],
      partsAtMargin: [{ variance: (2 * sd) ** 2, df: Infinity }],
      ...own,
    }) as unknown as Difference;
  const z = (alpha: number): number => singleCritical(alpha, Infinity);

  it('hold for all at once, and step down from the clearest (S. Holm, Scand. J. Stat. 6:65, 1979)', () => {
    // Above the threshold 0.05 at once: below it at alpha / 3 = 0.0167 (2.128 sd); above once the clearest is settled, at alpha / 2 (1.96 sd).
    const found = boundsOf([sample(0.2), null, sample(0.0705), sample(0.06)], 0.05, 0.05);
    expect(found[1]).toBeNull();
    expect(found.map((one) => one?.above ?? null)).toEqual([true, null, true, false]);
    expect(found[0]!.lower).toBeCloseTo(0.2 - 0.01 * z(0.05 / 3), 12);
    expect(found[2]!.lower).toBeCloseTo(0.0705 - 0.01 * z(0.05 / 2), 12);
    expect(found[2]!.lower).toBeGreaterThan(0.05);
    expect(found[3]!.lower).toBeCloseTo(0.06 - 0.01 * z(0.05 / 3), 12);
    expect(found[3]!.upper).toBeCloseTo(0.06 + 0.02 * z(0.05), 12);
  });
});

describe('one vial more', () => {
  /** A sample of `count` vials whose own scatter alone makes its error. */
  const scattered = (count: number, se: number): Difference =>
    ({
      value: 0.6,
      parts: [{ variance: se ** 2, df: count - 1 }],
      partsAtMargin: [{ variance: se ** 2, df: count - 1 }],
      ownVariance: true,
    }) as unknown as Difference;
  const told = (difference: Difference, count: number): string =>
    oneVialMore({
      ...{ difference, bounds: boundsOf([difference], 0.05, 0.05)[0]! },
      members: Array.from({ length: count }),
    } as unknown as Evidence);

  // t(0.95) of 1, 2, 3, 4 and 5 degrees of freedom: NIST/SEMATECH e-Handbook 1.3.6.7.2, from memory; recomputed in R 4.2.2 (qt).
  it.each([
    [2, 6.314, 2.92],
    [3, 2.92, 2.353],
    [5, 2.132, 2.015],
  ])(
    'of like scatter beside %i: Student’s %f becomes %f, and the error falls with the root of the count',
    (count, now, then) => {
      const found = boundsOf([scattered(count, 0.02)], 0.05, 0.05)[0]!;
      expect(found.lower).toBeCloseTo(0.6 - now * 0.02, 4);
      expect(found.lowerWithOneMore).toBeCloseTo(0.6 - then * 0.02 * Math.sqrt(count / (count + 1)), 4);
    },
  );

  it('is worth a sentence where it saves a third of the width', () => {
    expect(told(scattered(2, 0.02), 2)).toBe(
      ' Its 2 vials differ more than still ones do, so the lower bound rests on their own scatter (1 degree of freedom): one vial more, scattering alike, would bring it to about 0.55.',
    );
    // three: sqrt(3/4) x 2.353 / 2.920 of the width is left, which is just over two thirds
    expect(told(scattered(3, 0.02), 3)).toBe('');
    expect(told(scattered(5, 0.02), 5)).toBe('');
  });

  it('is not spoken of where still vials tell the scatter', () => {
    expect(told({ ...scattered(2, 0.02), ownVariance: false }, 2)).toBe('');
    expect(boundsOf([{ ...scattered(2, 0.02), ownVariance: false }], 0.05, 0.05)[0]!.lowerWithOneMore).toBeNull();
  });
});

describe('a margin in mol %', () => {
  const run = (value: number): Run =>
    ({
      margin: { unit: 'mol-percent', value },
      vials: ['blank', 'sample', 'sample'].map((role) => ({ role })),
      file: 'run.yaml',
    }) as unknown as Run;
  const amounts = (reagentMol: number, sampleMol: number) => ({
    region: 'A1',
    reagentMol: { value: reagentMol, u: null },
    sampleMol: { value: sampleMol, u: null },
  });

  it('is what a secondary alcohol of that much turns where it shows least: 2 electrons each, 3 for every chromium', () => {
    // 1 % of 400 umol of sample, 2 electrons each, against 30 umol of Cr(VI): 8 / 90 of the reagent; half of the sample, half of that.
    const vials = [amounts(30e-6, 100e-6), amounts(30e-6, 400e-6), amounts(30e-6, 200e-6)] as never;
    expect(marginExtent(run(1), vials, 3).value).toBeCloseTo(4 / 90, 12);
    expect(marginExtent(run(0.5), vials, 3).value).toBeCloseTo(2 / 90, 12);
    expect(marginExtent(run(1), vials, 3).assumption).toMatch(/1 mol %.*0\.044.*two-electron/);
  });
});
