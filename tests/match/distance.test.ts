import { describe, expect, it } from 'vitest';
import { ciede2000, xyzRatioToLab, type Lab } from '../../src/colour/index.ts';
import { compare } from '../../src/match/compare.ts';
import { historyDistance, stretchedDistance } from '../../src/match/distance.ts';
import { distanceCdf } from '../../src/match/distance-law.ts';
import { lightSensitivity, scatterScale } from '../../src/match/sensitivity.ts';
import type { Noise, Unit, VialColour } from '../../src/match/types.ts';
import { vialVariance } from '../../src/match/noise.ts';
import { fQuantile } from '../../src/numeric/f-distribution.ts';
import { normalCdf } from '../../src/numeric/normal.ts';
import { studentTCdf } from '../../src/numeric/student-t.ts';

/** A colour on its way from orange to green, at a time of its own clock (1: the half-time). */
const colourAt = (time: number): Lab => {
  const left = 2 ** -time;
  return [55 - 10 * left, -20 + 50 * left, 15 + 45 * left];
};
const historyOf = (rate: number): readonly Lab[] => Array.from({ length: 25 }, (_, i) => colourAt((rate * i) / 6));

describe('the distance of two histories', () => {
  it('is the root mean square of their colours’ CIEDE2000 on one clock', () => {
    // Pairs 1 and 7 of G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30:21 (2005): 2.0425 and 0.
    const first: Lab[] = [
      [50, 2.6772, -79.7751],
      [50, 0, 0],
    ];
    const second: Lab[] = [
      [50, 0, -82.7485],
      [50, 0, 0],
    ];
    expect(historyDistance(first, second)).toBeCloseTo(2.0425 / Math.SQRT2, 4);
  });

  it('with time stretched is next to nothing for a warmer rack, up to twice or half as fast, whichever is named first', () => {
    for (const rate of [0.5, 0.75, 1, 1.4, 2]) {
      const [first, second] = [historyOf(1), historyOf(rate)];
      const one = stretchedDistance(first, second);
      const other = stretchedDistance(second, first);
      expect(one.value).toBeLessThan(0.4);
      // The slower one needs the longer time for the same colours.
      expect(one.stretch * rate).toBeGreaterThan(0.96);
      expect(one.stretch * rate).toBeLessThan(1.04);
      expect(one.stretch * other.stretch).toBeCloseTo(1, 6);
      expect(other.value).toBeCloseTo(one.value, 6);
    }
  });

  it('forgives no more than a factor of two, and no other course', () => {
    const far = stretchedDistance(historyOf(1), historyOf(4));
    expect(far.stretch).toBeCloseTo(0.5, 9);
    expect(far.value).toBeGreaterThan(2);
    const brown = historyOf(1).map(([l, a, b]): Lab => [l, a + 10, b]);
    expect(stretchedDistance(historyOf(1), brown).value).toBeGreaterThan(4);
  });
});

describe('how much errors of light and depth make at a colour', () => {
  it('is the slope of CIEDE2000 over XYZ ratios to a power, on either side of CIELAB’s break at 0.008856', () => {
    for (const xyz of [
      [0.002, 0.002, 0.003],
      [0.006, 0.004, 0.002],
      [0.012, 0.02, 0.004],
      [0.4, 0.3, 0.1],
    ] as const) {
      const [x, y, z] = xyz;
      const lab = xyzRatioToLab(x, y, z);
      const depth = ciede2000(lab, xyzRatioToLab(x ** 1.01, y ** 1.01, z ** 1.01)) / 0.01;
      expect(scatterScale(lab)).toBeCloseTo(Math.hypot(lightSensitivity(lab), depth), 6);
    }
  });
});

describe('the law of a distance found', () => {
  it('is Student’s with one direction, F’s with three alike, normal where the noise is known', () => {
    for (const df of [2, 3.75, 10]) {
      for (const found of [0.5, 1, 2, 5]) {
        const one = distanceCdf(found, 0, { variance: 1, directions: 1, df });
        expect(1 - one).toBeCloseTo(2 * studentTCdf(-found, df), 6);
      }
      for (const p of [0.5, 0.95, 0.99]) {
        const found = Math.sqrt(2 * fQuantile(p, 3, df));
        expect(distanceCdf(found, 0, { variance: 2, directions: 3, df })).toBeCloseTo(p, 6);
      }
    }
    for (const truth of [0, 1, 4]) {
      const known = { variance: 4, directions: 1, df: Infinity };
      const within = normalCdf((3 - truth) / 2) - normalCdf((-3 - truth) / 2);
      expect(distanceCdf(3, truth, known)).toBeCloseTo(within, 9);
    }
  });

  it('falls with the true distance, and is a step without noise', () => {
    const noise = { variance: 1, directions: 2, df: 8 };
    const at = [0, 0.5, 1, 2, 4].map((truth) => distanceCdf(1.5, truth, noise));
    at.slice(1).forEach((value, i) => expect(value).toBeLessThan(at[i]!));
    const sure = { variance: 0, directions: 1, df: 5 };
    expect([distanceCdf(2, 2, sure), distanceCdf(1.9, 2, sure)]).toEqual([1, 0]);
  });
});

describe('what the noise makes of a distance', () => {
  const vial = (picture: VialColour['picture'], index: number, final: Lab): VialColour => ({
    ...{ region: `V${index}`, label: 'x', role: 'known', unit: 'x', place: null, picture, final },
    ...{ history: null, readingError: 0, clipped: [] },
  });
  const unit = (picture: VialColour['picture'], final: Lab): Unit => ({
    ...{ name: 'x', role: 'known', history: null, final },
    vials: [0, 1].map((index) => vial(picture, index, final)),
    light: {
      picture,
      terms: [0, 0, 0],
      covariance: [
        [0, 0, 0],
        [0, 0, 0],
        [0, 0, 0],
      ],
    },
  });
  const [orange, near] = [
    [55, 30, 60],
    [55, 32, 61],
  ] as const;
  const noise: Noise = { variance: 1e-4, floor: 0, directions: 1, df: 6, restVariance: 0, dayVariance: 0 };
  const pOf = (change: Partial<Noise>, otherPicture: VialColour['picture'] = 'own'): number => {
    const views = [{ view: 'final', noise: { ...noise, ...change }, likeVials: 1, raised: false }] as const;
    return compare(unit('own', orange), unit(otherPicture, near), views).final.pDiffers;
  };
  /** Variance of the difference of two means of two vials each. */
  const scatter = [orange, near].reduce((sum, lab) => sum + vialVariance(unit('own', lab), 'final', noise) / 2, 0);
  const value = ciede2000(orange, near);
  const twoSided = (variance: number, df: number): number => 2 * studentTCdf(-value / Math.sqrt(variance), df);

  it('is Student’s law where vials scatter along one line, its degrees of freedom short of the replicates’ by those of one liquid', () => {
    expect(pOf({})).toBeCloseTo(twoSided(scatter, 1 / (1 / 6 + 1 / 10)), 4);
    expect(pOf({ df: 40 })).toBeCloseTo(twoSided(scatter, 1 / (1 / 40 + 1 / 10)), 4);
    // Without replicates the noise is assumed, as if known by four.
    expect(pOf({ df: 0 })).toBeCloseTo(twoSided(scatter, 1 / (1 / 4 + 1 / 10)), 4);
  });

  it('takes the error of a day with twelve, together by Satterthwaite’s formula, and only between two pictures', () => {
    const day = 0.5 * scatter;
    const ofScatter = 1 / (1 / 6 + 1 / 10);
    const together = (scatter + day) ** 2 / (scatter ** 2 / ofScatter + day ** 2 / 12);
    expect(pOf({ dayVariance: day }, 'other')).toBeCloseTo(twoSided(scatter + day, together), 4);
    expect(pOf({ dayVariance: day })).toBe(pOf({}));
  });

  it('counts as many directions as the matrix of both errors has: trace^2 over trace of the square', () => {
    const day = 0.5 * scatter;
    // Scatter alike in three directions; the day's error along one of them.
    const axes = [scatter / 3 + day, scatter / 3, scatter / 3];
    const directions = (scatter + day) ** 2 / axes.reduce((sum, axis) => sum + axis ** 2, 0);
    const ofScatter = 1 / (1 / 18 + 1 / 10);
    const df = (scatter + day) ** 2 / (scatter ** 2 / ofScatter + day ** 2 / 12);
    const expected = 1 - distanceCdf(value, 0, { variance: scatter + day, directions, df });
    expect(pOf({ directions: 3, dayVariance: day }, 'other')).toBeCloseTo(expected, 9);
  });
});
