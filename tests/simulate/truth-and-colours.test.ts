import { describe, expect, it } from 'vitest';
import {
  chromiumMolPerVial,
  createScenario,
  layoutOf,
  liquidRect,
  reagentChromiumMolL,
  simulateColours,
  simulateFrames,
  truthOf,
} from '../../src/simulate/index.ts';
import { noNoise, tinyScenario } from './support.ts';

describe('the recipe', () => {
  it('0.1 g K2Cr2O7, 10 mL water, 1 mL acid: about 31 umol Cr(VI) in 0.5 mL (own arithmetic of the references)', () => {
    const { chemistry } = tinyScenario();
    expect(reagentChromiumMolL(chemistry.reagent)).toBeCloseTo(((2 * 0.1) / 294.185 / 11) * 1000, 12);
    expect(chromiumMolPerVial(chemistry)).toBeCloseTo(30.9e-6, 7);
  });

  it('refuses a salt it has no molar mass for', () => {
    const { chemistry } = tinyScenario({ chemistry: { reagent: { salt: 'KMnO4' } } });
    expect(() => reagentChromiumMolL(chemistry.reagent)).toThrow(/K2Cr2O7/);
  });
});

describe('truthOf', () => {
  it('tells extents, and outcomes by the margin over the negatives', () => {
    const scenario = tinyScenario({ spread: { rate: 0 }, reading: { readAtS: 2000, margin: 0.05 } });
    const truth = truthOf(scenario);
    expect(truth.vials[4]!.extent.slice(0, 2)).toEqual([null, null]);
    expect(truth.vials[4]!.extent_at_read).toBeCloseTo(0.3 * (1 - Math.exp(-4)), 12);
    expect(truth.samples.map(({ label, outcome }) => [label, outcome])).toEqual([
      ['lot', 'reacted'],
      ['clean', 'resisted'],
    ]);
    expect(truth.samples[1]!.extent_difference).toBeCloseTo(-0.002, 12);
  });

  it('joins a group into one sample, and claims nothing without negatives', () => {
    const vials = [1, 2].map(() => ({
      label: 'lot',
      role: 'sample' as const,
      group: 'lot',
      kinetics: { model: 'first-order' as const, k: 1e-3 },
    }));
    const [sample, ...others] = truthOf(createScenario({ name: 'pair', vials })).samples;
    expect(others).toEqual([]);
    expect(sample).toMatchObject({ regions: ['A1', 'A2'], extent_difference: null, outcome: null });
  });

  it('draws rates around the stated ones with the stated spread', () => {
    const vials = Array.from({ length: 200 }, () => ({
      label: 'negative',
      role: 'negative' as const,
      kinetics: { model: 'none' as const },
    }));
    const rack = { rows: 10, columns: 20 };
    const factors = truthOf(createScenario({ name: 'many', rack, spread: { rate: 0.1 }, vials })).vials.map((vial) =>
      Math.log(vial.rate_factor),
    );
    const mean = factors.reduce((sum, value) => sum + value, 0) / 200;
    const sd = Math.sqrt(factors.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 199);
    // 200 draws: the standard error of the mean is 0.007, of the standard deviation 0.005.
    expect(Math.abs(mean)).toBeLessThan(0.03);
    expect(Math.abs(sd - 0.1)).toBeLessThan(0.02);
  });
});

describe('simulateColours', () => {
  const still = {
    frame: { width: 960, height: 300 },
    light: { drift: -0.05, colourDrift: 0, flicker: 0 },
    rack: { rows: 1, columns: 6, glare: 0, texture: 0, patches: false },
  };
  const exact = { frame: 0, neighbours: 0, gain: 0 };

  it('agrees with the pixels it stands for', () => {
    const scenario = tinyScenario({ ...still, camera: noNoise });
    const colours = simulateColours(scenario, exact);
    const boxes = layoutOf(scenario).vials.map(liquidRect);
    let frame = 0;
    for (const image of simulateFrames(scenario)) {
      boxes.forEach(({ x, y, width, height }, vial) => {
        const found = ['red', 'green', 'blue'].map((_, channel) => {
          let sum = 0;
          for (let row = y; row < y + height; row += 1) {
            for (let column = x; column < x + width; column += 1) {
              const code = image.data[3 * (row * image.width + column) + channel]! / 255;
              sum += code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
            }
          }
          return sum / (width * height);
        });
        const { red, green, blue } = colours.vials[vial]!;
        [red, green, blue].forEach((column, channel) => {
          const stated = column[frame];
          if (stated === null || stated === undefined) return;
          // The pixels hold meniscus shade and wall darkening; the colours are of clear liquid.
          expect(Math.abs(found[channel]! - stated)).toBeLessThan(0.012 + 0.06 * stated);
        });
      });
      frame += 1;
    }
    expect(frame).toBe(6);
  });

  it('says null before dosing, and keeps a vial of constant extent constant under a corrected light', () => {
    const colours = simulateColours(tinyScenario({ ...still, rack: { rows: 1, columns: 6 }, camera: noNoise }), exact);
    expect(colours.vials[4]!.red[0]).toBeNull();
    const blank = colours.vials[0]!.red as readonly number[];
    expect(Math.max(...blank) - Math.min(...blank)).toBeLessThan(1e-9);
    expect(colours.light.driftRange).toBeGreaterThan(0.04);
  });

  it('scatters as it says: frame errors within their standard error, seed by seed', () => {
    const scenario = tinyScenario({ frameCount: 400, light: { drift: 0, colourDrift: 0, flicker: 0 } });
    const { red, redSe } = simulateColours(scenario, { frame: 0.01, neighbours: 0.5, gain: 0 }).vials[0]!;
    const values = red as readonly number[];
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
    expect(sd / redSe[0]!).toBeGreaterThan(0.85);
    expect(sd / redSe[0]!).toBeLessThan(1.15);
  });
});
