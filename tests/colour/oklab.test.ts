import { converter, parse } from 'culori';
import Color from 'colorjs.io';
import { describe, expect, it } from 'vitest';
import { linearRgbToHex } from '../../src/colour/hex.ts';
import { chromaFloor, linearRgbToOklab, oklabToOklch } from '../../src/colour/oklab.ts';
import type { LinearRgb } from '../../src/colour/oklab.ts';
import { decodeTransfer } from '../../src/colour/transfer.ts';
import { ciede2000, linearRgbToLab } from '../../src/colour/difference.ts';
import { createRandom } from '../../src/numeric/random.ts';

const decode = decodeTransfer('srgb');
const linearOf = (hex: string): LinearRgb => {
  const { r, g, b } = parse(hex) as { r: number; g: number; b: number };
  return [decode(r), decode(g), decode(b)];
};

describe('OKLab', () => {
  it('agrees with the table of its author (Ottosson 2020, XYZ to Lab, 1e-3; XYZ to linear light by colorjs.io)', () => {
    const table = [
      [0.95, 1, 1.089, 1, 0, 0],
      [1, 0, 0, 0.45, 1.236, -0.019],
      [0, 1, 0, 0.922, -0.671, 0.263],
      [0, 0, 1, 0.153, -1.415, -0.449],
    ] as const;
    for (const [x, y, z, ...lab] of table) {
      const rgb = new Color('xyz-d65', [x, y, z]).to('srgb-linear').coords.map(Number) as [number, number, number];
      linearRgbToOklab(rgb).forEach((value, index) => expect(Math.abs(value - lab[index]!)).toBeLessThan(1e-3));
    }
  });

  it('agrees with the anchors #ff8c00 and #2e6b4f (linear through colorjs.io and culori), to 1e-4 and 0.01 degrees', () => {
    const anchors = [
      ['#ff8c00', 0.75054, 0.17911, 58.283, [69.4832, 36.8199, 75.4896]],
      ['#2e6b4f', 0.479, 0.0786, 161.353, [40.6711, -27.0335, 9.8347]],
    ] as const;
    for (const [hex, lightness, chroma, hue, lab] of anchors) {
      const found = oklabToOklch(linearRgbToOklab(linearOf(hex)));
      expect(found.lightness).toBeCloseTo(lightness, 4);
      expect(found.chroma).toBeCloseTo(chroma, 4);
      expect(Math.abs(found.hueDeg! - hue)).toBeLessThan(0.01);
      linearRgbToLab(linearOf(hex)).forEach((value, index) => expect(value).toBeCloseTo(lab[index]!, 2));
      expect(linearRgbToHex(linearOf(hex))).toBe(hex);
    }
  });

  it('agrees with culori and colorjs.io on 500 random colours within 1e-5', () => {
    const random = createRandom('oklab');
    const toOklab = converter('oklab');
    for (let count = 0; count < 500; count += 1) {
      const rgb = [random.uniform(), random.uniform(), random.uniform()] as const;
      const own = linearRgbToOklab(rgb);
      const theirs = toOklab({ mode: 'lrgb', r: rgb[0], g: rgb[1], b: rgb[2] });
      [theirs.l, theirs.a, theirs.b].forEach((value, index) =>
        expect(Math.abs(value - own[index]!)).toBeLessThan(1e-5),
      );
      const second = new Color('srgb-linear', [...rgb]).to('oklab').coords;
      second.forEach((value, index) => expect(Math.abs(Number(value) - own[index]!)).toBeLessThan(1e-5));
    }
  });

  it('tells no hue of a grey', () => {
    expect(oklabToOklch(linearRgbToOklab([0.3, 0.3, 0.3])).hueDeg).toBeNull();
    expect(oklabToOklch([0.5, chromaFloor * 1.01, 0]).hueDeg).toBeCloseTo(0, 9);
  });
});

describe('linearRgbToLab', () => {
  it('agrees with colorjs.io lab-d65 on random colours; CIEDE2000 below 0.01', () => {
    const random = createRandom('lab');
    for (let count = 0; count < 200; count += 1) {
      const rgb = [random.uniform(), random.uniform(), random.uniform()] as const;
      const theirs = new Color('srgb-linear', [...rgb]).to('lab-d65').coords.map(Number) as [number, number, number];
      expect(ciede2000(linearRgbToLab(rgb), theirs)).toBeLessThan(0.01);
    }
  });

  it('agrees with colorjs.io below the cube root too, where L* is under 8', () => {
    for (const rgb of [
      [0, 0, 0],
      [0.002, 0.001, 0.0005],
      [0.0001, 0.004, 0.006],
      [0.008, 0.008, 0.001],
    ] as const) {
      const theirs = new Color('srgb-linear', [...rgb]).to('lab-d65').coords.map(Number);
      const own = linearRgbToLab(rgb);
      expect(own[0]).toBeLessThan(8);
      own.forEach((value, index) => expect(Math.abs(value - theirs[index]!)).toBeLessThan(1e-3));
    }
  });
});
