import { describe, expect, it } from 'vitest';
import { correctLight } from '../../src/light/correct-light.ts';
import type { CorrectedLight } from '../../src/light/correct-light.ts';
import type { RegionColours } from '../../src/model/measurement.ts';
import type { Point } from '../../src/model/region.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { columns, frame, frames, patchLevel, rack, reacting, timeRunS, times } from './runs.ts';

type Three = readonly [number, number, number];
type Light = (at: number, place: Point) => Three;

const patchPlaces: Readonly<Record<string, Point>> = { W1: [40, 300], W2: [960, 300], W3: [500, 40] };

function run(
  light: Light,
  patchIds: readonly string[] = ['W1'],
  more: Partial<Parameters<typeof correctLight>[0]> = {},
): CorrectedLight {
  const { vials, centres } = rack(light);
  const patches = patchIds.map((id) =>
    columns(id, 'white', frames, (at) => times(patchLevel, light(at, patchPlaces[id]!))),
  );
  return correctLight({
    timeRunS,
    frame,
    vials,
    patches,
    backgrounds: [],
    settings: [],
    sides: {},
    centres: { ...centres, ...patchPlaces },
    ...more,
  });
}

/** Largest systematic relative error over the vials: mean of five frames against truth in units of the corrected patch (its level at the first frames is a matter of convention). */
function worst(result: CorrectedLight): number {
  const neutral = result.patches.at(-1)!.green.filter((value) => value !== null);
  const y = neutral.reduce((sum, value) => sum + value, 0) / neutral.length;
  let largest = 0;
  result.vials.forEach((vial, index) => {
    const truth = reacting([0, 0.002, 0.01, 0.05][index % 4]!);
    (['red', 'green', 'blue'] as const).forEach((channel, place) => {
      for (let at = 2; at < frames - 2; at += 1) {
        const ratios = [-2, -1, 0, 1, 2].map(
          (offset) => vial[channel][at + offset]! / ((truth(at + offset)[place]! * y) / patchLevel[place]!),
        );
        largest = Math.max(largest, Math.abs(ratios.reduce((sum, value) => sum + value, 0) / 5 - 1));
      }
    });
  });
  return largest;
}
const codes = (result: CorrectedLight): string[] => result.notes.map(({ code }) => code);
const steady: Light = () => [1, 1, 1];

describe('correctLight with patches', () => {
  it('makes the patch grey of its own luminance and leaves a steady run alone', () => {
    const result = run(steady);
    expect(result.light.basis).toBe('patches');
    expect(worst(result)).toBeLessThan(0.003);
    const patch = result.patches[0]!;
    for (const channel of ['red', 'green', 'blue'] as const) expect(patch[channel][50]! / 0.5827).toBeCloseTo(1, 2);
    expect(codes(result)).toEqual([]);
  });

  it('takes out drift of +-7 % and says so', () => {
    for (const size of [0.07, -0.07]) {
      const result = run((at) => [1 + (size * at) / frames, 1 + (size * at) / frames, 1 + (0.8 * size * at) / frames]);
      expect(worst(result)).toBeLessThan(0.005);
      expect(codes(result)).toEqual(['lamp-drift']);
      expect(Math.abs(result.light.driftRange!)).toBeCloseTo(0.07, 1);
    }
  });

  it('takes out a white-balance step of +6 / -7 % and names its time and sizes', () => {
    const result = run((at) => (at >= 60 ? [1.06, 1, 0.93] : [1, 1, 1]));
    expect(worst(result)).toBeLessThan(0.005);
    const note = result.notes.find(({ code }) => code === 'white-balance-step')!;
    expect([note.fromRunS, note.toRunS]).toEqual([59 * 60, 60 * 60]);
    expect(note.message).toMatch(/red \+(5\.9|6\.0|6\.1) %.*blue -(6\.8|6\.9|7\.0|7\.1|7\.2) %/);
    expect(codes(result)).toEqual(['white-balance-step']);
  });

  it('tells an exposure step from one of white balance', () => {
    const result = run((at) => (at >= 30 ? [1.2, 1.2, 1.2] : [1, 1, 1]));
    expect(codes(result)).toEqual(['exposure-step']);
    expect(worst(result)).toBeLessThan(0.005);
  });

  it('takes out flicker, but does not hand the patch noise on to the vials', () => {
    const random = createRandom('flicker');
    const flicker = Array.from({ length: frames }, () => 1 + 0.01 * random.normal());
    const flickering = run((at) => [flicker[at]!, flicker[at]!, flicker[at]!]);
    expect(codes(flickering)).toContain('flicker');
    const roughness = (region: RegionColours): number => {
      const values = region.green.map((value) => Math.log(value!));
      return Math.sqrt(
        values.slice(2).reduce((sum, value, at) => sum + (value - 2 * values[at + 1]! + values[at]!) ** 2, 0) /
          (6 * (frames - 2)),
      );
    };
    expect(roughness(flickering.vials[0]!)).toBeLessThan(0.0022);
    // A small noisy patch under a steady lamp: the vials stay nearly as quiet as they are (0.1 %).
    const { vials, centres } = rack(steady);
    const noisy = columns('W1', 'white', frames, () => patchLevel, 0.004);
    const quiet = correctLight({
      timeRunS,
      frame,
      vials,
      patches: [noisy],
      backgrounds: [],
      settings: [],
      sides: {},
      centres: { ...centres, ...patchPlaces },
    });
    expect(roughness(quiet.vials[0]!)).toBeLessThan(0.0014);
  });

  it('follows light that changes unevenly, with three patches', () => {
    const light: Light = (at, [x]) => {
      const level = 1 + 0.05 * (at / frames) * (x / 1000 - 0.5);
      return [level, level, level];
    };
    const result = run(light, ['W1', 'W2', 'W3']);
    expect(worst(result)).toBeLessThan(0.006);
    expect(codes(result)).toContain('patches-disagree');
    expect(worst(run(light, ['W3']))).toBeGreaterThan(0.015);
  });

  it('recognises daylight', () => {
    const result = run((at) => {
      const day = Math.sin((Math.PI * at) / frames);
      return [1 + 0.1 * day, 1 + 0.15 * day, 1 + 0.25 * day];
    });
    expect(codes(result)).toEqual(['daylight']);
    expect(worst(result)).toBeLessThan(0.005);
  });

  it('takes a drifting lamp and a white balance that glides elsewhere in a few frames for no daylight', () => {
    const result = run((at) => {
      const level = 1 - (0.06 * at) / frames;
      const glide = 0.025 * Math.min(1, Math.max(0, (at - 25) / 12));
      return [level * (1 + glide), level, level * (1 - glide)];
    });
    expect(codes(result)).toContain('lamp-drift');
    expect(codes(result)).not.toContain('daylight');
  });

  it('does not use a clipped patch, uses the other one, and says so', () => {
    const { vials, centres } = rack(steady);
    const clipped = columns('W1', 'white', frames, () => [1.02, 1.02, 1.01]);
    const good = columns('W2', 'white', frames, () => patchLevel);
    const input = {
      timeRunS,
      frame,
      vials,
      backgrounds: [],
      settings: [],
      sides: {},
      centres: { ...centres, ...patchPlaces },
    };
    const both = correctLight({ ...input, patches: [clipped, good] });
    expect(both.notes.find(({ code }) => code === 'patch-clipped')).toMatchObject({ severity: 'fail', region: 'W1' });
    expect(worst(both)).toBeLessThan(0.005);
    expect(correctLight({ ...input, patches: [clipped] }).light.basis).toBe('none');
  });

  it('bridges frames without a patch with a larger error', () => {
    const { vials, centres } = rack((at) => [1 + (0.07 * at) / frames, 1 + (0.07 * at) / frames, 1]);
    const patch = columns('W1', 'white', frames, (at) =>
      at >= 40 && at < 50 ? null : times(patchLevel, [1 + (0.07 * at) / frames, 1 + (0.07 * at) / frames, 1]),
    );
    const result = correctLight({
      timeRunS,
      frame,
      vials,
      patches: [patch],
      backgrounds: [],
      settings: [],
      sides: {},
      centres: { ...centres, ...patchPlaces },
    });
    expect(worst(result)).toBeLessThan(0.005);
    expect(result.light.gainSe[45]!).toBeGreaterThan(5 * result.light.gainSe[20]!);
    expect(codes(result)).toContain('patch-missing');
  });
});

describe('correctLight without patches', () => {
  it('changes nothing, knows no gain error, and says what that means', () => {
    const result = run((at) => [1 + (0.07 * at) / frames, 1, 1], []);
    expect(result.light.basis).toBe('none');
    expect(result.light.gainSe.every((value) => value === null)).toBe(true);
    expect(codes(result)).toEqual(['no-neutral-patch']);
  });

  it('follows the background only where it spans the frame, with an error of 1 % or more', () => {
    const light: Light = (at) => [1 + (0.07 * at) / frames, 1 + (0.07 * at) / frames, 1 - (0.03 * at) / frames];
    const places: Readonly<Record<string, Point>> = { B1: [60, 60], B2: [940, 60], B3: [60, 540], B4: [940, 540] };
    const backgrounds = Object.keys(places).map((id) =>
      columns(id, 'white', frames, (at) => times([0.2, 0.3, 0.1], light(at, places[id]!))),
    );
    const { centres } = rack(light);
    const wide = run(light, [], { backgrounds, centres: { ...centres, ...places } });
    expect(wide.light.basis).toBe('background');
    expect(Math.min(...wide.light.gainSe.map((value) => value!))).toBeGreaterThanOrEqual(0.01);
    expect(wide.vials[0]!.red.at(-1)! / wide.vials[0]!.red[0]!).toBeCloseTo(1, 2);
    const corner = run(light, [], {
      backgrounds,
      centres: { ...centres, B1: [60, 60], B2: [90, 60], B3: [60, 90], B4: [90, 90] },
    });
    expect(corner.light.basis).toBe('none');
  });
});

it('notes camera settings that change', () => {
  const setting = (iso: number) =>
    ({ exposureTimeS: 0.01, iso, fNumber: 2, exposureMode: 'auto', whiteBalance: 'manual' }) as const;
  const result = run(steady, ['W1'], { settings: timeRunS.map((_, at) => setting(at < 50 ? 100 : 125)) });
  expect(result.notes.find(({ code }) => code === 'settings-changed')).toMatchObject({
    fromRunS: 3000,
    message: expect.stringContaining('from 100 to 125'),
  });
});
