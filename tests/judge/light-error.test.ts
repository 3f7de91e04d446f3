import { describe, expect, it } from 'vitest';
import { leftUneven, lightError, slowLightError } from '../../src/judge/light-error.ts';
import type { Measurement } from '../../src/model/measurement.ts';
import { readVials } from '../../src/judge/read-vials.ts';
import { syntheticRack } from './synthetic.ts';

type Light = Measurement['light'];
const light = (changes: Partial<Light>): Light => ({ ...syntheticRack({ vials: [] }).measurement.light, ...changes });
/** Vials that should stand still and seem to drift by so much in extent over the run. */
const drifting = (...ends: number[]): ReturnType<typeof readVials> =>
  readVials(
    syntheticRack({
      vials: ends.map((end) => ({ role: 'negative', course: (timeS) => (end * timeS) / 7200 })),
      noise: 0,
    }),
    7200,
  );

// Expected values are the figures of the docstrings (chosen there): 0.02 with nothing, 0.01 with the background, 0.6 extent per relative light.
describe('error of a difference from light', () => {
  it('is none with patches and even light, 0.01 with the background, 0.02 with nothing', () => {
    expect(lightError(light({ basis: 'patches' }), drifting(0.2))).toBe(0);
    expect(lightError(light({ basis: 'background' }), drifting(0.2))).toBe(0.01);
    expect(lightError(light({ basis: 'none' }), [])).toBe(0.02);
    expect(lightError(light({ basis: 'none' }), drifting(0.01))).toBe(0.02);
  });

  it('is half of the largest drift of still vials, up or down, where nothing tells of the light', () => {
    // Medians of the first and last 12 of 121 frames are 109 of the run's 120 intervals apart.
    expect(lightError(light({ basis: 'none' }), drifting(0.01, 0.2, 0.1))).toBeCloseTo((0.2 * 0.908) / 2, 3);
    expect(lightError(light({ basis: 'none' }), drifting(-0.2))).toBeCloseTo((0.2 * 0.908) / 2, 3);
  });

  it('asks for three frames at each end before it speaks of a drift', () => {
    const short = drifting(0.5).map((judged) => ({
      ...judged,
      usable: { ...judged.usable, extent: [0, 0, 0, 0.5, 0.5] },
    }));
    expect(lightError(light({ basis: 'none' }), short)).toBe(0.02);
    const longer = short.map((judged) => ({
      ...judged,
      usable: { ...judged.usable, extent: [0, 0, 0, 0.5, 0.5, 0.5] },
    }));
    expect(lightError(light({ basis: 'none' }), longer)).toBe(0.25);
  });

  it('adds what a correction may have left of unevenness above 3 %, seen or a third of it', () => {
    expect(leftUneven(light({ unevenness: 0.03, uncorrectedUnevenness: 0.02 }))).toBe(0);
    expect(leftUneven(light({ unevenness: 0.06, uncorrectedUnevenness: 0.01 }))).toBe(0.01);
    expect(leftUneven(light({ unevenness: 0.06, uncorrectedUnevenness: null }))).toBeCloseTo(0.02, 12);
    expect(leftUneven(light({ unevenness: null }))).toBe(0);
    expect(lightError(light({ basis: 'patches', unevenness: 0.06, uncorrectedUnevenness: 0.05 }), [])).toBeCloseTo(
      0.03,
      12,
    );
  });
});

describe('slow error of any vial from light', () => {
  it('is 0.6 of the median error of the gains, at least the figures without patches', () => {
    expect(slowLightError(light({ basis: 'patches', gainSe: [0.001, null, 0.002, 0.01] }))).toBeCloseTo(0.0012, 12);
    expect(slowLightError(light({ basis: 'patches', gainSe: [null] }))).toBe(0);
    expect(slowLightError(light({ basis: 'background', gainSe: [0.001] }))).toBe(0.01);
    expect(slowLightError(light({ basis: 'none', gainSe: [0.1] }))).toBeCloseTo(0.06, 12);
  });
});
