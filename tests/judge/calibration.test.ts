import { describe, expect, it } from 'vitest';
import { detection, inverse, type Calibration } from '../../src/judge/calibration.ts';
import type { Reading } from '../../src/judge/types.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { straightLine } from '../../src/numeric/straight-line.ts';

const reading = (value: number, more: Partial<Reading> = {}): Reading => ({
  timeS: 0,
  value,
  frameSe: 0,
  vialSe: null,
  pathShift: [],
  ...more,
});

function calibrationOf(
  levels: readonly number[],
  extents: readonly number[],
  more: Partial<Reading> = {},
): Calibration {
  const line = straightLine(levels, extents)!;
  return { levels, readings: extents.map((extent) => reading(extent, more)), line, knownDf: null };
}

describe('inverse prediction', () => {
  it('is the example of Graybill & Iyer, Regression Analysis (1994), p. 431', () => {
    const x = [96, 98, 100, 102, 104, 106, 108, 110];
    const y = [95.71, 98.16, 99.52, 102.09, 103.79, 106.18, 108.14, 110.21];
    const { value, ci95 } = inverse(calibrationOf(x, y), [reading(104)]);
    expect(value).toBeCloseTo(103.995, 3);
    expect(ci95[0]).toBeCloseTo(103.4, 1);
    expect(ci95[1]).toBeCloseTo(104.6, 1);
  });

  it('is the fluorescein example of Miller & Miller, Statistics for Analytical Chemistry (data from memory)', () => {
    const fluorescein = calibrationOf([0, 2, 4, 6, 8, 10, 12], [2.1, 5.0, 9.0, 12.6, 17.3, 21.0, 24.7]);
    const { value, ci95 } = inverse(fluorescein, [reading(13.5)]);
    expect(value).toBeCloseTo(6.207, 3);
    // The book's 0.616 is the first-order formula; Fieller's exact set is a little wider.
    expect((ci95[1]! - ci95[0]!) / 2).toBeCloseTo(0.616, 1);
  });

  it('says when the slope bounds nothing', () => {
    expect(inverse(calibrationOf([0, 1, 2, 3], [0, 1, -1, 0.5]), [reading(2)]).ci95).toEqual([null, null]);
  });

  it('is narrower for replicates, wider for vials known to differ and for a path that bends between sample and standards', () => {
    const levels = [0, 0, 0.5, 1, 1.5];
    const extents = [0.002, -0.002, 0.099, 0.201, 0.3];
    const width = (calibration: Calibration, sample: readonly Reading[]): number => {
      const [low, high] = inverse(calibration, sample).ci95;
      return high! - low!;
    };
    const plain = width(calibrationOf(levels, extents), [reading(0.1)]);
    expect(width(calibrationOf(levels, extents), [reading(0.1), reading(0.1), reading(0.1)])).toBeLessThan(0.8 * plain);
    const glass = { vialSe: 0.01 };
    expect(width(calibrationOf(levels, extents, glass), [reading(0.1, glass)])).toBeGreaterThan(2 * plain);
    // The same shift of all cancels; one of the sample's own does not.
    const shifted = { pathShift: [0.01, -0.01] };
    expect(width(calibrationOf(levels, extents, shifted), [reading(0.1, shifted)])).toBeCloseTo(plain, 10);
    const still = { pathShift: [0, 0] };
    expect(width(calibrationOf(levels, extents, still), [reading(0.1, shifted)])).toBeGreaterThan(2 * plain);
  });
});

describe('critical level and detection limit', () => {
  it('come to Currie’s 1.645 and 3.29 standard deviations where the line is as good as known (IUPAC 1995, from memory)', () => {
    const random = createRandom('currie');
    const levels = Array.from({ length: 20_000 }, (_, i) => (i % 2 === 0 ? 0 : 10));
    const known = calibrationOf(
      levels,
      levels.map((level) => 2 * level + random.normal()),
    );
    const { critical, limit } = detection(known, [reading(0)], 0.05);
    expect(critical * 2).toBeCloseTo(1.645, 1);
    expect(limit * 2).toBeCloseTo(3.29, 1);
  });

  /*
   * ISO 11843-2: at the critical value alpha of the blanks are taken for something, at the minimum detectable value beta of
   * the samples for nothing. Simulated: lines of 3 negatives and 4 standards, one sample vial, drawn anew each time.
   */
  it('keep their risks when lines, blanks and samples are drawn anew (definition of ISO 11843)', () => {
    const random = createRandom('iso 11843');
    const levels = [0, 0, 0, 0.3, 0.6, 1, 1.5];
    const spread = 0.008;
    const slope = 0.15;
    const draws = 6000;
    let seen = 0;
    let missed = 0;
    for (let draw = 0; draw < draws; draw += 1) {
      const vial = (level: number): Reading => reading(0.003 + slope * level + spread * random.normal());
      const calibration = calibrationOf(
        levels,
        levels.map((level) => vial(level).value),
      );
      const blank = vial(0);
      const { critical } = detection(calibration, [blank], 0.05);
      if (inverse(calibration, [blank]).value > critical) seen += 1;
      // the limit a laboratory would state: that of the mean line, from the true spread
      const limit = trueLimit(levels, slope, spread);
      if (inverse(calibration, [vial(limit)]).value <= critical) missed += 1;
    }
    // Three standard errors of 5 % of 6,000 are 0.84 %.
    expect(seen / draws).toBeGreaterThan(0.05 - 0.0084);
    expect(seen / draws).toBeLessThan(0.05 + 0.0084);
    expect(missed / draws).toBeLessThan(0.05 + 0.0084);
  });
});

/** Twice the critical level at the true standard deviation: t(0.95, 5) = 2.015 (any table) times the reach of the line at 0. */
function trueLimit(levels: readonly number[], slope: number, spread: number): number {
  const mean = levels.reduce((sum, level) => sum + level, 0) / levels.length;
  const sxx = levels.reduce((sum, level) => sum + (level - mean) ** 2, 0);
  return (2 * 2.015 * spread * Math.sqrt(1 + 1 / levels.length + mean ** 2 / sxx)) / slope;
}
