import { describe, expect, it } from 'vitest';
import { difference, knownVariance, moderate } from '../../src/judge/difference.ts';
import type { Reading } from '../../src/judge/types.ts';

const reading = (value: number, errors: Partial<Reading> = {}): Reading => ({
  timeS: 3600,
  value,
  frameSe: 0,
  vialSe: 0,
  pathShift: [],
  ...errors,
});
const readings = (...values: number[]): readonly Reading[] => values.map((value) => reading(value));
const settings = {
  spread: { value: 0.01, df: 10, source: 'this run' },
  knownDf: null,
  lightSe: 0,
  pathSeAtMargin: 0,
} as const;

describe('the difference of a sample from the negatives', () => {
  it('is that of the means, with the variance s^2 (1/n + 1/m) and the degrees of freedom of s', () => {
    const found = difference(readings(0.2, 0.21), readings(0.01, 0.02, 0.03, 0.04), settings);
    expect(found.value).toBeCloseTo(0.18, 12);
    expect(found.vialParts).toHaveLength(1);
    expect(found.vialParts[0]!.variance).toBeCloseTo(0.01 ** 2 * (1 / 2 + 1 / 4), 12);
    expect(found.vialParts[0]!.df).toBe(10);
    // The part that every sample has in common: s^2 / m of s^2 (1/n + 1/m).
    expect(found.loading ** 2).toBeCloseTo(1 / 4 / (1 / 2 + 1 / 4), 12);
  });

  // F(0.95; 1, 10) = 4.965 (NIST/SEMATECH e-Handbook 1.3.6.7.3): two vials have their own variance from a gap of 0.01 sqrt(2 x 4.965) on.
  it.each([
    [4.95, false],
    [4.98, true],
  ])('takes its own variance where that is significantly larger, %f times: %s', (ratio, ownVariance) => {
    const gap = 0.01 * Math.sqrt(2 * ratio);
    const found = difference(readings(0.2, 0.2 + gap), readings(0, 0, 0, 0), settings);
    expect(found.ownVariance).toBe(ownVariance);
    if (!ownVariance) return;
    expect(found.vialParts[0]!.variance).toBeCloseTo((0.01 ** 2 * ratio) / 2, 12);
    expect(found.vialParts[0]!.df).toBe(1);
    expect(found.vialParts[1]!.variance).toBeCloseTo(0.01 ** 2 / 4, 12);
    expect(found.vialParts[1]!.df).toBe(10);
  });

  it('counts the path only where sample and negatives do not share its error, and light as told', () => {
    const shifted = (...shifts: number[]): Reading => reading(0.2, { pathShift: shifts });
    const base = [reading(0, { pathShift: [0.01, -0.01] })];
    expect(difference([shifted(0.01, -0.01)], base, settings).pathSe).toBe(0);
    const apart = difference([shifted(0.03, -0.03)], base, { ...settings, lightSe: 0.004, pathSeAtMargin: 0.001 });
    expect(apart.pathSe).toBeGreaterThan(0.019);
    expect(apart.parts.at(-1)).toEqual({ variance: apart.pathSe ** 2 + 0.004 ** 2, df: Infinity });
    expect(apart.partsAtMargin).toEqual(apart.parts);
    const larger = difference([shifted(0.01, -0.01)], base, { ...settings, pathSeAtMargin: 0.02 });
    expect(larger.partsAtMargin.at(-1)!.variance).toBeCloseTo(0.02 ** 2, 12);
    expect(larger.parts.at(-1)!.variance).toBe(0);
  });
});

describe('the variance of a still vial from replicates and from what is known of vials', () => {
  it('is the larger where the latter was not learnt in the run, by the replicates’ degrees of freedom', () => {
    expect(moderate(4, 5, 1, 1, null)).toEqual({ variance: 4, df: 5 });
    expect(moderate(4, 5, 9, 1, null)).toEqual({ variance: 9, df: 5 });
    expect(moderate(4, Infinity, 9, 1, 20)).toEqual({ variance: 9, df: Infinity });
  });

  it('is pooled by degrees of freedom where both were learnt and agree', () => {
    const same = moderate(2, 5, 1, 1, 20);
    expect(same.variance).toBeCloseTo((2 * 5 + 1 * 20) / 25, 12);
    expect(same.df).toBe(25);
    // A vial known to be four times worse than the negatives: its variance in the same proportion.
    expect(moderate(2, 5, 4, 1, 20).variance).toBeCloseTo((4 * (2 * 5 + 1 * 20)) / 25, 12);
    expect(moderate(0, 5, 4, 0, 20).variance).toBeCloseTo(4, 12);
  });

  // F(0.95; 5, 20) = 2.711 (NIST/SEMATECH e-Handbook 1.3.6.7.3).
  it('is the replicates’ where they scatter significantly more, and what this vial is known to miss beyond them', () => {
    expect(moderate(2.7, 5, 1, 1, 20).df).toBe(25);
    expect(moderate(2.72, 5, 1, 1, 20)).toEqual({ variance: 2.72, df: 5 });
    expect(moderate(3, 5, 4, 1, 20)).toEqual({ variance: 6, df: 5 });
    expect(moderate(2.72, 5, 0.5, 1, 20)).toEqual({ variance: 2.72, df: 5 });
  });

  it('knows of a vial the mean square of its frames and its glass', () => {
    const known = knownVariance([
      reading(0, { frameSe: 0.003, vialSe: 0.004 }),
      reading(0, { frameSe: 0.001, vialSe: null }),
    ]);
    expect(known).toBeCloseTo((0.005 ** 2 + 0.001 ** 2) / 2, 15);
  });
});
