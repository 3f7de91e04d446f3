import { describe, expect, it } from 'vitest';
import { judgeFrames } from '../../src/light/judge-frames.ts';
import type { RegionColours } from '../../src/model/measurement.ts';
import { createScenario, simulateColours } from '../../src/simulate/index.ts';

type Three = readonly [number, number, number];
type Regions = readonly RegionColours[];

/**
 * Linear light of what may come before the vials; chosen after the look of each under a lamp. What has a colour between fresh and turned
 * reagent, as skin has, cannot be told from a vial that turns in that very frame: it is asked for beside slow chemistry only.
 */
const hands: Readonly<Record<string, Three>> = {
  'a blue glove': [0.11, 0.13, 0.19],
  'a black glove': [0.03, 0.03, 0.03],
  'a bare hand': [0.45, 0.25, 0.18],
  'a green glove': [0.08, 0.3, 0.1],
};

/** Four vials that turn at `k` (1/s), three negatives, blank and a slow sample; the first seven dosed in frame `from`. */
function rack(intervalS: number, k: number, from: number): { vials: Regions; patches: Regions } {
  const addedRunS = from === 0 ? -1 : (from - 0.5) * intervalS;
  const quick = Array.from({ length: 4 }, () => ({
    label: '1-butanol',
    role: 'positive' as const,
    addedRunS,
    kinetics: { model: 'first-order' as const, k },
  }));
  const still = Array.from({ length: 3 }, () => ({
    label: 'tert-butanol',
    role: 'negative' as const,
    addedRunS,
    kinetics: { model: 'none' as const },
  }));
  const measurement = simulateColours(
    createScenario({
      name: 'quick',
      seed: 3,
      frameCount: 40,
      intervalS,
      rack: { rows: 2, columns: 6 },
      vials: [
        ...quick,
        ...still,
        { label: 'reagent only', role: 'blank', addedRunS: -1, kinetics: { model: 'none' } },
        { label: 'lot 7', role: 'sample', addedRunS: -1, kinetics: { model: 'first-order', k: 0.0005 } },
      ],
    }),
  );
  // Before dosing the empty glass shows the card behind it.
  const empty = (vial: RegionColours): RegionColours => ({
    ...vial,
    red: vial.red.map((value) => value ?? 0.6),
    green: vial.green.map((value) => value ?? 0.59),
    blue: vial.blue.map((value) => value ?? 0.56),
  });
  return { vials: measurement.vials.map(empty), patches: measurement.patches };
}

/** The first five vials, four of them quick, behind a hand in some frames. */
function behind(vials: Regions, hand: Three, frames: readonly number[]): Regions {
  const put = (column: readonly (number | null)[], level: number): (number | null)[] =>
    column.map((value, frame) => (frames.includes(frame) ? level : value));
  return vials.map((vial, index) =>
    index > 4
      ? vial
      : { ...vial, red: put(vial.red, hand[0]), green: put(vial.green, hand[1]), blue: put(vial.blue, hand[2]) },
  );
}

const rejected = (vials: Regions, patches: Regions): number[] =>
  judgeFrames({ vials, patches, cameraLost: [] }).flatMap((reason, frame) => (reason === null ? [] : [frame]));

describe('very quick chemistry in the first frames', () => {
  it.each([20, 60])('is no hand, at an interval of %s s, dosed before the film or in its first frames', (intervalS) => {
    for (const k of [0.01, 0.03, 0.05, 0.3])
      for (const from of [0, 1, 2, 4]) {
        const { vials, patches } = rack(intervalS, k, from);
        expect(rejected(vials, patches), `k ${k}, dosed at frame ${from}`).toEqual([]);
      }
  });

  it.each(Object.entries(hands))('does not hide %s', (name, hand) => {
    for (const intervalS of [20, 60])
      for (const k of name === 'a blue glove' || name === 'a black glove' ? [0.0005, 0.03] : [0.0005])
        for (const frames of [[0], [0, 1], [1], [2, 3], [5, 6, 7]]) {
          const { vials, patches } = rack(intervalS, k, 0);
          expect(rejected(behind(vials, hand, frames), patches), `k ${k}, frames ${frames.join()}`).toEqual(frames);
        }
  });

  it('an orange with more red than the grey card behind the empty glass is no hand either', () => {
    const { vials, patches } = rack(360, 0.0005, 1);
    // Colours as a saturating camera gives them: measured on an encoded modelled film.
    const stretched = vials.map((vial) => ({
      ...vial,
      red: vial.red.map((value) => (value === 0.6 ? 0.6 : 1.2 * value!)),
    }));
    expect(Math.max(...stretched[4]!.red.map((value) => value!))).toBeGreaterThan(0.8);
    expect(rejected(stretched, patches)).toEqual([]);
  });

  it('a glove before vials that wait for their reagent is seen', () => {
    for (const hand of [hands['a blue glove']!, hands['a black glove']!]) {
      const { vials, patches } = rack(60, 0.03, 4);
      expect(rejected(behind(vials, hand, [0]), patches)).toEqual([0]);
      expect(rejected(behind(vials, hand, [2]), patches)).toEqual([2]);
    }
  });
});
