import { describe, expect, it } from 'vitest';
import { ciede2000 } from '../../src/colour/index.ts';
import { dayError, linkedColours } from '../../src/match/day-error.ts';
import { seenColours } from '../../src/match/vial-colours.ts';
import type { Measurement } from '../../src/model/measurement.ts';
import { createScenario, simulateColours, type LampInput } from '../../src/simulate/index.ts';

/** Invented colours around the circle. */
const colours = ['#3f8f4e', '#b8423c', '#7a4a94', '#d8a53a', '#5c7890', '#f0ead0', '#8a5a3a', '#c8c070'];

function photograph(lamp: LampInput, exposure: number, matrix: 'lamp' | 'daylight', patches = true): Measurement {
  return simulateColours(
    createScenario({
      name: 'panel',
      seed: 3,
      frameCount: 1,
      lamp,
      camera: { exposure, matrix },
      rack: { patches },
      spread: { brightness: 0, path: 0, rate: 0 },
      vials: colours.map((colour, index) => ({
        label: `vial ${index}`,
        role: 'known' as const,
        identity: `compound ${index}`,
        kinetics: { model: 'colours' as const, from: colour, to: colour, k: 0 },
      })),
    }),
  );
}

const first = photograph({ kind: 'led', preset: 'neutral' }, 0.8, 'lamp');

describe('two photographs of different days', () => {
  it.each([
    ['a warm LED', { kind: 'led', preset: 'warm' }, 'lamp'],
    ['daylight', { kind: 'daylight' }, 'lamp'],
    ['a lamp of 3000 K', { kind: 'blackbody', kelvin: 3000 }, 'lamp'],
    ['a warm LED under a profile for daylight', { kind: 'led', preset: 'warm' }, 'daylight'],
  ] as const)('agree within the stated error of a day: %s', (_, lamp, matrix) => {
    const second = photograph(lamp, 0.6, matrix);
    const { scales } = linkedColours(first, second, 'first.yaml', 'second.yaml');
    const at = (scale: number) => ({ addedRunS: 0, readAtS: 0, scale });
    const squares = first.vials.map(
      (vial, index) =>
        ciede2000(
          seenColours(first, vial, at(scales[0]))!.final,
          seenColours(second, second.vials[index]!, at(scales[1]))!.final,
        ) ** 2,
    );
    const rms = Math.sqrt(squares.reduce((sum, value) => sum + value, 0) / squares.length);
    expect(rms).toBeGreaterThan(0.5);
    expect(rms).toBeLessThan(dayError);
  });

  it('are refused without a patch in one of them', () => {
    const bare = photograph({ kind: 'daylight' }, 0.6, 'lamp', false);
    expect(() => linkedColours(first, bare, 'first.yaml', 'second.yaml')).toThrow(/second\.yaml.*neutral patch/s);
  });

  it('are linked by a chart that was fitted in both, at the same stated error', () => {
    const fitted = { reason: null, used: 24, patches: 24, leftOut: [], curves: 'none', illuminant: 'D50' } as const;
    const deltas = { meanDeltaE: 1, maxDeltaE: 3, leftOutMeanDeltaE: 1.5, uncorrectedMeanDeltaE: 8 };
    const chart = { ...fitted, ...deltas, applied: true, illuminantStated: true };
    const bare = photograph({ kind: 'daylight' }, 0.6, 'lamp', false);
    expect(linkedColours({ ...bare, chart }, { ...bare, chart }, 'first.yaml', 'second.yaml')).toEqual({
      scales: [1, 1],
      dayError,
    });
    const failed = { ...bare, chart: { ...chart, applied: false } };
    expect(() => linkedColours({ ...first, chart }, failed, 'first.yaml', 'second.yaml')).toThrow(/or both a chart/);
  });
});
