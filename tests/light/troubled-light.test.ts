import { describe, expect, it } from 'vitest';
import { settingsKnown } from '../../src/light/camera-settings.ts';
import { correctLight } from '../../src/light/correct-light.ts';
import type { CorrectedLight } from '../../src/light/correct-light.ts';
import type { CameraSettings } from '../../src/model/frame.ts';
import type { Point } from '../../src/model/region.ts';
import { columns, frame, frames, patchLevel, rack, timeRunS, times } from './runs.ts';

type Three = readonly [number, number, number];

const places: Readonly<Record<string, Point>> = {
  W1: [40, 300],
  W2: [960, 300],
  W3: [500, 40],
  W4: [500, 560],
  W5: [250, 40],
};
const steady = (): Three => [1, 1, 1];
const all = (level: number): Three => [level, level, level];

/** Patches whose readings are the light times something of their own. */
function run(
  light: (at: number, place: Point) => Three,
  own: Readonly<Record<string, (at: number) => Three>>,
  more: Partial<Parameters<typeof correctLight>[0]> = {},
): CorrectedLight {
  const { vials, centres } = rack(light);
  const patches = Object.entries(own).map(([id, of]) =>
    columns(id, 'white', frames, (at) => times(times(patchLevel, light(at, places[id]!)), of(at))),
  );
  return correctLight({
    ...{ timeRunS, frame, vials, patches, backgrounds: [], settings: [] },
    sides: {},
    centres: { ...centres, ...places },
    ...more,
  });
}
const codes = (result: CorrectedLight): string[] => result.notes.map(({ code }) => code);
/** Change of a still vial over the run. */
const driftOf = ({ vials }: CorrectedLight): number => vials[0]!.red.at(-1)! / vials[0]!.red[0]! - 1;

describe('a patch that changes by itself', () => {
  it('is told from light, named with its time, and mended: vials stay', () => {
    const moved = run(steady, { W1: (at) => all(at >= 70 ? 0.88 : 1) });
    expect(codes(moved)).toEqual(['patch-moved']);
    expect(moved.notes[0]).toMatchObject({ severity: 'warn', region: 'W1', fromRunS: 69 * 60, toRunS: 70 * 60 });
    expect(moved.notes[0]!.message).toMatch(/red -1[12]\.\d %/);
    expect(Math.abs(driftOf(moved))).toBeLessThan(0.01);
  });

  it('is found among others, and does not pull them', () => {
    const moved = run(steady, { W1: () => all(1), W2: (at) => all(at >= 40 ? 1.1 : 1), W3: () => all(1) });
    expect(codes(moved)).toEqual(['patch-moved']);
    expect(moved.notes[0]!.region).toBe('W2');
    expect(Math.abs(driftOf(moved))).toBeLessThan(0.005);
  });

  it('is none when the light stepped, or both at once: only its own part is taken out', () => {
    const step = (at: number): Three => all(at >= 70 ? 0.8 : 1);
    expect(codes(run(step, { W1: () => all(1) }))).toEqual(['exposure-step']);
    expect(codes(run((at) => (at >= 70 ? [1.06, 1, 0.93] : [1, 1, 1]), { W1: () => all(1) }))).toEqual([
      'white-balance-step',
    ]);
    const both = run(step, { W1: (at) => all(at >= 70 ? 1.3 : 1) });
    expect(codes(both)).toContain('patch-moved');
    expect(Math.abs(driftOf(both))).toBeLessThan(0.01);
  });
});

describe('light that is not even', () => {
  it('from one side is followed by a plane, which leaves nothing', () => {
    const side = (at: number, [x]: Point): Three => all(1 + 0.1 * (at / frames) * (x / 1000 - 0.5));
    const own = Object.fromEntries(Object.keys(places).map((id) => [id, () => all(1)]));
    const result = run(side, own);
    expect(codes(result)).toContain('patches-disagree');
    expect(result.light.unevenness!).toBeGreaterThan(0.03);
    expect(result.light.uncorrectedUnevenness!).toBeLessThan(0.005);
  });

  it('mapped piece by piece is more than a plane: named, and what is left is told to the judge', () => {
    // A camera that lifts the dark corner where one patch lies, ever more.
    const own = Object.fromEntries(
      Object.keys(places).map((id) => [id, (at: number) => all(id === 'W5' ? 1 + (0.12 * at) / frames : 1)]),
    );
    const result = run(steady, own);
    expect(result.notes.find(({ code }) => code === 'light-tone-mapping')).toMatchObject({
      severity: 'warn',
      message: expect.stringMatching(/local tone mapping/),
    });
    expect(result.light.uncorrectedUnevenness!).toBeGreaterThan(0.02);
  });

  it('is unknown beyond a plane with fewer than four patches', () => {
    const result = run(steady, { W1: () => all(1), W2: () => all(1) });
    expect(result.light.uncorrectedUnevenness).toBeNull();
  });
});

describe('a gap', () => {
  const late = timeRunS.map((time, at) => (at >= 60 ? time + 7200 : time));
  const setting = (exposureTimeS: number): CameraSettings => ({
    ...{ exposureTimeS, iso: 100, fNumber: 2, exposureMode: 'manual', whiteBalance: 'manual' },
  });

  it('is compared by settings and by picture', () => {
    const brighter = (at: number): Three => (at >= 60 ? [1.2, 1.12, 1.05] : [1, 1, 1]);
    const settings = timeRunS.map((_, at) => setting(at >= 60 ? 1 / 30 : 1 / 60));
    const result = run(brighter, { W1: () => all(1) }, { timeRunS: late, settings });
    const note = result.notes.find(({ code }) => code === 'settings-after-gap')!;
    expect(note).toMatchObject({ severity: 'warn', fromRunS: 3540, toRunS: 10_800 });
    expect(note.message).toMatch(
      /exposure time \(0\.016\d* to 0\.033\d*\); the neutral patches by \+1[23]\.\d % in level, \+1[34]\.\d % in red against blue/,
    );
    const film = run(brighter, { W1: () => all(1) }, { timeRunS: late });
    expect(film.notes.find(({ code }) => code === 'settings-after-gap')).toMatchObject({ severity: 'info' });
    const bare = run(brighter, {}, { timeRunS: late });
    expect(bare.notes.find(({ code }) => code === 'settings-after-gap')).toMatchObject({
      severity: 'warn',
      message: expect.stringMatching(/the vials by .*Nothing steady/),
    });
  });

  it('with the same picture after it is not worth a word', () => {
    expect(codes(run(steady, { W1: () => all(1) }, { timeRunS: late }))).toEqual([]);
  });
});

it('settings are locked only when every picture says so and none changes', () => {
  const manual: CameraSettings = {
    exposureTimeS: 0.01,
    iso: 100,
    fNumber: 2,
    exposureMode: 'manual',
    whiteBalance: 'manual',
  };
  expect(settingsKnown([manual, manual])).toBe('locked');
  expect(settingsKnown([manual, { ...manual, iso: 200 }])).toBe('automatic');
  expect(settingsKnown([manual, { ...manual, whiteBalance: 'auto' }])).toBe('automatic');
  expect(settingsKnown([manual, null])).toBe('unknown');
  expect(settingsKnown([manual, { ...manual, exposureMode: null }])).toBe('unknown');
  expect(settingsKnown([])).toBe('unknown');
});
