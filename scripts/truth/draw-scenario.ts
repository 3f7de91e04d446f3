import type { Random } from '../../src/numeric/random.ts';
import { createScenario, type LampInput, type Scenario, type VialInput } from '../../src/simulate/index.ts';
import { sampleSubstance } from './bench.ts';
import { margin, readAtS } from './racks.ts';

interface Film {
  readonly frame: { readonly width: number; readonly height: number };
  readonly frameCount: number;
  readonly intervalS: number;
  readonly media: 'h264' | 'jpeg';
}

/**
 * A bench of the project's own forward model with everything but the rack drawn: lamp, sensitivities, matrix, bands off
 * the assumed ones, form of Cr(III), exposure, stray light, noise, drift, flicker, glare, glass (1 to 2 %) and bore.
 * The analysis is told none of it. Ranges chosen, wide enough to hold small cameras and lamps on sale.
 */
export function drawScenario(seed: string, vials: readonly VialInput[], film: Film, random: Random): Scenario {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const around = (spread: number): number => between(-spread, spread);
  const lamps: readonly LampInput[] = [
    { kind: 'led', preset: 'warm', blueHeight: between(0.3, 0.6), phosphorPeakNm: between(590, 610) },
    { kind: 'led', preset: 'neutral', blueHeight: between(0.8, 1.3), bluePeakNm: between(446, 458) },
    { kind: 'blackbody', kelvin: between(2700, 3300) },
    { kind: 'daylight' },
  ];
  const presets = ['standard', 'narrow', 'broad'] as const;
  const sulfato = between(0.6, 1);
  return createScenario({
    name: 'truth',
    seed,
    frame: film.frame,
    frameCount: film.frameCount,
    intervalS: film.intervalS,
    media: { kind: film.media, crf: 16 + random.integer(8), quality: 80 + random.integer(16) },
    reading: { readAtS, margin },
    lamp: lamps[random.integer(lamps.length)],
    light: { drift: around(0.04), colourDrift: around(0.01), flicker: between(0, 0.005) },
    camera: {
      preset: presets[random.integer(presets.length)],
      matrix: random.uniform() < 0.5 ? 'lamp' : 'daylight',
      exposure: between(0.6, 0.95),
      whiteBalance: [1 + around(0.03), 1, 1 + around(0.03)],
      vignetting: between(0, 0.25),
      flare: between(0, 0.01),
      readNoise: between(0.001, 0.005),
    },
    chemistry: {
      ...sampleSubstance,
      chromate: { shiftNm: around(5), widthFactor: 1 + around(0.05) },
      chromium: { shiftNm: around(5), widthFactor: 1 + around(0.05) },
      sulfato: { start: sulfato, end: sulfato },
    },
    rack: { rows: 2, columns: Math.max(6, Math.ceil(vials.length / 2)), glare: between(0.1, 0.5) },
    spread: { brightness: between(0.01, 0.02), path: 0.01, rate: 0.03 },
    vials,
  });
}
