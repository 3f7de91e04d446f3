import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  absorbancePerCm,
  adaptedLinearSrgb,
  bandSpectrum,
  blackbody,
  cameraMatrix,
  cameraSensitivities,
  cameraShapes,
  chromateBands,
  daylightD65,
  hexaaquaBands,
  layerTransmittance,
  neutralLed,
  renderLinearRgb,
  roundVialPathLengths,
  spectrumOnGrid,
  viewingWeights,
  warmLed,
  wavelengthsNm,
  weighLinearRgb,
  whiteLed,
  xyzOf,
} from '../../src/spectra/index.ts';
import { cie1931, cieD65 } from '../../src/spectra/cie-tables.ts';

const readTable = (name: string): ReadonlyMap<number, readonly number[]> =>
  new Map(
    readFileSync(path.join(import.meta.dirname, '../../fixtures/cie', name), 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => line.split(',').map(Number))
      .map(([nm, ...values]) => [nm!, values]),
  );

describe('CIE tables (Debian colord-data 1.4.6)', () => {
  const observer = readTable('cie1931_2deg_5nm.csv');
  const d65 = readTable('cie_D65.csv');
  const illuminantA = readTable('cie_A.csv');

  it('are cut unchanged', () => {
    wavelengthsNm.forEach((nm, index) => {
      expect([cie1931.x[index], cie1931.y[index], cie1931.z[index]]).toEqual(observer.get(nm));
      expect([cieD65[index]]).toEqual(d65.get(nm));
    });
  });

  const whiteOf = (table: ReadonlyMap<number, readonly number[]>): readonly number[] => {
    const sums = [0, 0, 0];
    for (const [nm, bars] of observer) {
      const power = table.get(nm)?.[0];
      if (power !== undefined) bars.forEach((bar, index) => (sums[index]! += bar * power));
    }
    return sums.map((sum) => (100 * sum) / sums[1]!);
  };

  it('give the published whites of D65 and A on the whole tables, and on our grid to 0.1 %', () => {
    const whiteD65 = [95.0467, 100, 108.8969];
    const whiteA = [109.8502, 100, 35.585];
    whiteOf(d65).forEach((value, index) => expect(value).toBeCloseTo(whiteD65[index]!, 3));
    whiteOf(illuminantA).forEach((value, index) => expect(value).toBeCloseTo(whiteA[index]!, 3));
    xyzOf(daylightD65()).forEach((value, index) => expect(Math.abs(100 * value - whiteD65[index]!)).toBeLessThan(0.1));
  });

  it('agree with Planck at illuminant A (2855.5 K with today’s constant) to 0.1 %', () => {
    // A is defined as Planckian at 2848 K with c2 = 1.435e-2: the same curve as 2848 * 1.4388/1.435 K (CIE 15, from memory).
    const planck = blackbody((2848 * 1.438776877) / 1.435);
    wavelengthsNm.forEach((nm, index) => {
      expect(Math.abs(planck[index]! / illuminantA.get(nm)![0]! - 1)).toBeLessThan(1e-3);
    });
  });
});

describe('chromium spectra', () => {
  // 60 mg/L K2Cr2O7, 1 cm: NBS SP 260-54; Burke and Mavrodineanu, J. Res. NBS 80A:631 (1976). 294.185 g/mol.
  it.each([
    [257, 0.865],
    [313, 0.29],
    [350, 0.643],
  ])('absorbs at %i nm as the standard does: %f', (nm, absorbance) => {
    const perChromium = bandSpectrum(chromateBands, [nm]).epsilon[0]!;
    expect(perChromium * 2 * (0.06 / 294.185)).toBeCloseTo(absorbance, 3);
  });

  // Textbook problem (440, 545), from memory (430): per dichromate.
  it.each([
    [440, 369],
    [545, 11],
    [430, 468],
  ])('has %i nm: %i L/(mol cm) per dichromate', (nm, value) => {
    expect(Math.abs((2 * bandSpectrum(chromateBands, [nm]).epsilon[0]!) / value - 1)).toBeLessThan(0.001);
  });

  // Hexaaqua Cr(III), from memory; each band adds under 1 % to the other.
  it.each([
    [408, 15.6],
    [574, 13.4],
  ])('has Cr(III) at %i nm: %f', (nm, value) => {
    expect(Math.abs(bandSpectrum(hexaaquaBands, [nm]).epsilon[0]! / value - 1)).toBeLessThan(0.01);
  });
});

/** Transmittance of one absorber. */
const layer = (epsilon: ArrayLike<number>, concentrationMolL: number, pathCm: number): Float64Array =>
  layerTransmittance(absorbancePerCm([{ epsilon, concentrationMolL }]), pathCm);

describe('Beer-Lambert in a round vial', () => {
  it('multiplies absorptivity, concentration and path', () => {
    const transmittance = layer([100, 0], 0.01, 0.5);
    expect(transmittance[0]).toBeCloseTo(10 ** -0.5, 12);
    expect(transmittance[1]).toBe(1);
  });

  it('adds the absorbances of a mixture, and refuses absorbers of two grids', () => {
    const mixture = absorbancePerCm([
      { epsilon: [100, 0], concentrationMolL: 0.01 },
      { epsilon: [20, 50], concentrationMolL: 0.1 },
    ]);
    expect([...mixture]).toEqual([3, 5]);
    const uneven = [[1], [1, 2]].map((epsilon) => ({ epsilon, concentrationMolL: 1 }));
    expect(() => absorbancePerCm(uneven)).toThrow(RangeError);
  });

  it('averages to pi/4 of the diameter across the whole width', () => {
    const { pathCm } = roundVialPathLengths(1.2, 1, 2001);
    expect(pathCm.reduce((sum, value) => sum + value, 0) / 2001).toBeCloseTo((1.2 * Math.PI) / 4, 4);
  });

  it('is symmetric and longest in the middle', () => {
    const { pathCm } = roundVialPathLengths(1, 0.8, 9);
    expect(pathCm[0]).toBeCloseTo(pathCm[8]!, 12);
    expect(pathCm[4]).toBe(1);
  });
});

describe('rendering', () => {
  const lamps = [daylightD65(), whiteLed(warmLed), whiteLed(neutralLed), blackbody(2700)];
  const cameras = Object.values(cameraShapes).map(cameraSensitivities);

  it('keeps white white for every lamp and camera', () => {
    for (const lamp of lamps) {
      for (const sensitivities of cameras) {
        const matrix = cameraMatrix(lamp, sensitivities);
        const white = renderLinearRgb({ lamp, sensitivities, matrix, transmittance: lamp.map(() => 1) });
        white.forEach((value) => expect(value).toBeCloseTo(1, 10));
      }
    }
  });

  it('comes near the CIE observer for the orange and green liquids', () => {
    const lamp = whiteLed(neutralLed);
    const sensitivities = cameraSensitivities(cameraShapes.standard);
    const matrix = cameraMatrix(lamp, sensitivities);
    for (const [bands, concentration] of [
      [chromateBands, 0.02],
      [hexaaquaBands, 0.06],
    ] as const) {
      const transmittance = layer(spectrumOnGrid(bandSpectrum(bands)), concentration, 1);
      const camera = renderLinearRgb({ lamp, sensitivities, matrix, transmittance });
      const observer = adaptedLinearSrgb(
        lamp.map((power, index) => power * transmittance[index]!),
        lamp,
      );
      camera.forEach((value, index) => expect(Math.abs(value - observer[index]!)).toBeLessThan(0.12));
    }
  });

  it('gives the same through weights as directly', () => {
    const lamp = blackbody(3000);
    const sensitivities = cameraSensitivities(cameraShapes.broad);
    const matrix = cameraMatrix(lamp, sensitivities);
    const transmittance = layer(spectrumOnGrid(bandSpectrum(chromateBands)), 0.05, 0.8);
    const direct = renderLinearRgb({ lamp, sensitivities, matrix, transmittance });
    const weighed = weighLinearRgb(viewingWeights({ lamp, sensitivities, matrix }), transmittance);
    direct.forEach((value, index) => expect(weighed[index]).toBeCloseTo(value, 12));
  });
});
