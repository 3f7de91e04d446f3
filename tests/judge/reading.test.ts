import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { localEstimate } from '../../src/judge/local-estimate.ts';
import { nearestIndices } from '../../src/judge/nearest-indices.ts';
import { kendallS, rankTest } from '../../src/judge/rank-test.ts';
import { betweenVialSpread } from '../../src/judge/spread.ts';
import type { JudgedVial } from '../../src/judge/types.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { firstOrder, flat, syntheticRack, usualVials } from './synthetic.ts';

describe('the local estimate', () => {
  const random = createRandom('local');
  const timeS = Array.from({ length: 200 }, (_, i) => i * 60);
  const make = (course: (timeS: number) => number, noise: number, seed = random) => ({
    timeS,
    extent: timeS.map((time) => course(time) + noise * seed.normal()),
    se: timeS.map(() => noise),
    frame: timeS.map((_, i) => i),
  });

  it('follows a slope to the very end', () => {
    const usable = make((time) => 1e-5 * time, 0);
    expect(localEstimate(usable, null, timeS.at(-1)!)!.value).toBeCloseTo(1e-5 * timeS.at(-1)!, 9);
  });

  it('hardly notices an outlying frame', () => {
    const usable = make(flat, 0.002);
    const spoilt = { ...usable, extent: usable.extent.map((value, i) => (i === 100 ? 0.9 : value)) };
    expect(localEstimate(spoilt, null, 6000)!.value).toBeCloseTo(localEstimate(usable, null, 6000)!.value, 2);
  });

  it('states a standard error that its own scatter bears out', () => {
    const estimates = Array.from({ length: 400 }, () => localEstimate(make(flat, 0.01), null, 6000)!);
    const values = estimates.map(({ value }) => value);
    const scatter = Math.sqrt(values.reduce((sum, value) => sum + value ** 2, 0) / values.length);
    const stated = estimates.reduce((sum, { se }) => sum + se, 0) / estimates.length;
    expect(stated / scatter).toBeGreaterThan(0.85);
    expect(stated / scatter).toBeLessThan(1.35);
  });

  it('is null without frames', () => {
    expect(localEstimate({ timeS: [], extent: [], se: [], frame: [] }, null, 0)).toBeNull();
  });
});

describe('the nearest frames', () => {
  it('are found on either side, and near the ends', () => {
    const times = [0, 10, 20, 30, 100];
    expect(nearestIndices(times, 21, 3)).toEqual([1, 2, 3]);
    expect(nearestIndices(times, 1000, 2)).toEqual([3, 4]);
    expect(nearestIndices(times, -5, 2)).toEqual([0, 1]);
    expect(nearestIndices(times, 20, 9)).toEqual([0, 1, 2, 3, 4]);
    expect(nearestIndices([], 0, 3)).toEqual([]);
  });
});

describe('reading window', () => {
  it('opens when the last positive has turned and closes when the first negative has', () => {
    const creeping = usualVials(3, [{ role: 'sample' }]).map((vial) =>
      vial.region === 'N2' ? { ...vial, course: (timeS: number) => 1e-5 * timeS, offset: 0 } : vial,
    );
    const { readingWindow } = judgeRun(syntheticRack({ vials: creeping, noise: 0.0005, readAtS: 3000 }));
    // P1: 0.5 at 900 ln 2 = 624 s; N2 reaches the margin 0.05, less the blank, at 5000 s.
    expect(Math.abs(readingWindow!.from_s - 624)).toBeLessThan(60);
    expect(Math.abs(readingWindow!.to_s - 5000)).toBeLessThan(150);
    expect(readingWindow!.exploratory).toBe(true);
  });

  it('is null when the positives never turn, or without negatives', () => {
    const dead = usualVials(3, []).map((vial) => (vial.role === 'positive' ? { ...vial, course: flat } : vial));
    expect(judgeRun(syntheticRack({ vials: dead })).readingWindow).toBeNull();
    expect(judgeRun(syntheticRack({ vials: usualVials(0, [{ role: 'sample' }]) })).readingWindow).toBeNull();
  });
});

describe('the band of the negatives', () => {
  it('follows their mean and is as wide as a further still vial asks', () => {
    const vials = usualVials(4, []).map((vial) =>
      vial.role === 'negative' ? { ...vial, course: (timeS: number) => 3e-6 * timeS } : vial,
    );
    const { negativeBand, betweenVialSd } = judgeRun(syntheticRack({ vials, noise: 0.0005 }));
    const last = negativeBand!.mean.length - 1;
    expect(negativeBand!.mean[last]).toBeCloseTo(3e-6 * 7200, 2);
    // t(0.975, 3) = 3.182 (any table), sqrt(1 + 1/4).
    const half = 3.182 * Math.max(betweenVialSd!.value, 0.003) * Math.sqrt(1.25);
    expect((negativeBand!.upper[last]! - negativeBand!.lower[last]!) / 2 / half).toBeCloseTo(1, 1);
  });
});

describe('spread between vials', () => {
  const vials = (...values: number[]): readonly JudgedVial[] =>
    values.map((value) => ({ atRead: { value } }) as unknown as JudgedVial);

  it('pools within groups, never between them', () => {
    const { spread } = betweenVialSpread(vials(0, 0.02), [vials(0.04, 0.06)], 0.05, null);
    expect(spread!.value).toBeCloseTo(Math.sqrt(2e-4), 10);
    expect(spread!.df).toBe(2);
  });

  it('leaves out groups that reacted', () => {
    const { spread } = betweenVialSpread(vials(0, 0.02), [vials(0.3, 0.9)], 0.05, null);
    expect(spread!.df).toBe(1);
  });

  it('believes a history unless the run clearly scatters more', () => {
    const history = { value: 0.01, df: 10, source: 'history' };
    const alike = betweenVialSpread(vials(0, 0.01, 0.02), [], 0.05, history);
    expect(alike.spread!.df).toBe(12);
    expect(alike.spread!.value).toBeCloseTo(0.01, 10);
    const wild = betweenVialSpread(vials(0, 0.05, 0.1), [], 0.05, history);
    expect(wild.spread!.df).toBe(2);
    expect(wild.historyRefused).toMatch(/scatter more/);
    expect(betweenVialSpread(vials(0, 0.01), [], 0.05, { ...history, df: 5 }).historyRefused).toMatch(/5 degrees/);
  });

  it('is null with one negative and no history', () => {
    expect(betweenVialSpread(vials(0), [], 0.05, null).spread).toBeNull();
  });
});

describe('rank test', () => {
  it('gives a strictly falling row of n the chance 1 in n!', () => {
    expect(rankTest([1, 2, 3, 4, 5], [5, 4, 3, 2, 1])).toEqual({ s: -10, most: 10, pFalling: 1 / 120 });
    expect(rankTest([1, 2, 3], [1, 2, 3]).pFalling).toBe(1);
  });

  it('draws orders beyond eight values, always the same', () => {
    const x = Array.from({ length: 12 }, (_, i) => i);
    const y = x.map((value) => (value * 7) % 12);
    expect(rankTest(x, y)).toEqual(rankTest(x, y));
    expect(kendallS([1, 1, 2], [3, 4, 5])).toBe(2);
  });
});

describe('invariances', () => {
  it('the order of vials in the run file changes no outcome', () => {
    const course = firstOrder(1 / 300, 0.3);
    const vials = usualVials(4, [
      { role: 'sample', offset: 0.002 },
      { role: 'sample', course },
    ]);
    const noise = 0;
    const straight = judgeRun(syntheticRack({ vials, noise })).samples;
    const reversed = judgeRun(syntheticRack({ vials: [...vials].reverse(), noise })).samples.toReversed();
    expect(reversed.map(({ outcome, extent_difference: d }) => [outcome, d!.value.toFixed(9)])).toEqual(
      straight.map(({ outcome, extent_difference: d }) => [outcome, d!.value.toFixed(9)]),
    );
  });

  it('the same input gives the same output', () => {
    const rack = syntheticRack({ vials: usualVials(3, [{ role: 'sample' }]) });
    expect(judgeRun(rack)).toEqual(judgeRun(rack));
  });
});
