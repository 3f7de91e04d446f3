import { describe, expect, it } from 'vitest';
import { collectColumns, createReadingColumns } from '../../src/colour/collect-columns.ts';
import { createRegionReader } from '../../src/colour/region-reader.ts';
import type { RegionReader, RegionReading } from '../../src/colour/region-reader.ts';
import type { Region } from '../../src/model/region.ts';
import { drawVial, drawnCrop } from './pictures.ts';
import type { VialDrawing } from './pictures.ts';

const liquid: Region = { id: 'A1', shape: 'rect', x: 60, y: 50, width: 60, height: 90 };
const options = { frame: { width: 180, height: 180 }, transfer: 'srgb' } as const;
const orange = [0.02, 0.35, 1.4] as const;
const green = [0.5, 0.3, 0.45] as const;
const reader = (region: Region = liquid): RegionReader => createRegionReader(region, drawnCrop, options);
const at = (drawing: VialDrawing, region: Region = liquid): RegionReading => reader(region).read(drawVial(drawing))!;
const relative = (found: RegionReading, truth: RegionReading): number =>
  Math.max(...found.rgb.map((value, channel) => Math.abs(value / truth.rgb[channel]! - 1)));

describe('the colour of a region', () => {
  it('is the light of the central columns: within the chord range of the middle half, at any extent', () => {
    for (const extent of [0, 0.3, 0.6, 1]) {
      const absorbance = orange.map((value, channel) => value + extent * (green[channel]! - value)) as [
        number,
        number,
        number,
      ];
      const { rgb } = at({ absorbance, noise: 0 });
      rgb.forEach((value, channel) => {
        // Seen chord between 0.80 (edge of the region) and 1; the middle half of the samples sees about 0.86..0.98.
        const path = -Math.log10(value / 0.8) / absorbance[channel]!;
        expect(path).toBeGreaterThan(0.9);
        expect(path).toBeLessThan(0.97);
      });
    }
  });

  it('is moved by less than 0.75 % by glare, be it weak, strong, or a quarter of the width', () => {
    for (const absorbance of [orange, green]) {
      const clean = at({ absorbance, noise: 0 });
      for (const halfWidth of [2, 4, 7.5]) {
        for (const strength of [0.03, 0.1, 0.5]) {
          const found = at({ absorbance, glare: { x: 75, halfWidth, strength }, noise: 0.004 });
          expect(found.leftOut).toBeGreaterThan(0.05);
          expect(relative(found, clean), `${absorbance} ${halfWidth} ${strength}`).toBeLessThan(0.0075);
        }
      }
    }
  });

  it('keeps one mask through the run: a stripe that brightens later changes the colour by less than 0.5 %', () => {
    const one = reader();
    const glare = { x: 75, halfWidth: 3, strength: 0.2 };
    const first = one.read(drawVial({ absorbance: orange, glare }))!;
    const later = one.read(drawVial({ absorbance: orange, glare: { ...glare, strength: 0.6 }, seed: 'later' }))!;
    expect(later.samples).toBe(first.samples);
    expect(later.rgb[0] / first.rgb[0]).toBeCloseTo(1, 2);
    expect(Math.abs(later.rgb[1] / first.rgb[1] - 1)).toBeLessThan(0.005);
  });

  it('lets a dark thing passing over a sixth of the region change the colour by less than 1 %', () => {
    const one = reader();
    const clean = one.read(drawVial({ absorbance: orange }))!;
    const pixels = drawVial({ absorbance: orange, seed: 'hand' });
    for (let row = 30; row < 45; row += 1) pixels.red.fill(0.1, row * 120, (row + 1) * 120);
    const found = one.read(pixels)!;
    expect(Math.abs(found.rgb[0] / clean.rgb[0] - 1)).toBeLessThan(0.01);
  });

  it('tells the error that repeated frames show, within a third', () => {
    const one = reader();
    const readings = Array.from({ length: 60 }, (_, frame) =>
      one.read(drawVial({ absorbance: green, seed: `f${frame}` }))!,
    );
    for (const channel of [0, 1, 2] as const) {
      const values = readings.map((reading) => reading.rgb[channel]);
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
      const told = readings.at(-1)!.se[channel];
      expect(told / sd).toBeGreaterThan(0.67);
      expect(told / sd).toBeLessThan(1.5);
    }
  });

  it('follows a shifted vial: 5.3 and -3.7 pixels move the colour by less than 0.2 %', () => {
    const one = reader();
    const still = one.read(drawVial({ absorbance: orange, noise: 0 }))!;
    const moved = one.read(drawVial({ absorbance: orange, noise: 0, dx: 5.3, dy: -3.7 }), {
      dx: 5.3,
      dy: -3.7,
      rotation: 0,
      scale: 1,
    })!;
    expect(relative(moved, still)).toBeLessThan(0.002);
    expect(Math.abs(moved.samples / still.samples - 1)).toBeLessThan(0.03);
  });

  it('follows it on samples of 4 x 4 pixels too: shifts of 1 to 3 pixels move the colour by less than 0.5 %', () => {
    const still = at({ absorbance: orange, noise: 0, pixelsPerSample: 4 });
    for (const [dx, dy] of [
      [1, 0],
      [2, 1],
      [-3, 2],
    ] as const) {
      const one = reader();
      one.learn(drawVial({ absorbance: orange, noise: 0, pixelsPerSample: 4 }));
      const shift = { dx, dy, rotation: 0, scale: 1 };
      const moved = one.read(drawVial({ absorbance: orange, noise: 0, pixelsPerSample: 4, dx, dy }), shift)!;
      expect(relative(moved, still), `${dx} ${dy}`).toBeLessThan(0.005);
    }
  });

  it('gives the same at half resolution within 0.2 %', () => {
    const full = at({ absorbance: orange, noise: 0 });
    const half = at({ absorbance: orange, noise: 0, pixelsPerSample: 2 });
    expect(relative(half, full)).toBeLessThan(0.002);
  });

  it('gives the same from samples of 4 x 4 pixels within 1 %, glare left out', () => {
    for (const absorbance of [orange, green]) {
      const fine = at({ absorbance, noise: 0.004, pixelsPerSample: 2 });
      expect(relative(at({ absorbance, noise: 0.004, pixelsPerSample: 4 }), fine)).toBeLessThan(0.01);
      const glare = { x: 76, halfWidth: 4, strength: 0.3 };
      const seen = at({ absorbance, glare, noise: 0.004, pixelsPerSample: 4 });
      expect(seen.leftOut).toBeGreaterThan(0.08);
      expect(relative(seen, fine)).toBeLessThan(0.01);
    }
  });

  it('reads ellipses and polygons as the same liquid', () => {
    const truth = at({ absorbance: green, noise: 0 });
    const ellipse = at({ absorbance: green, noise: 0 }, { id: 'A1', shape: 'ellipse', cx: 90, cy: 95, rx: 30, ry: 45 });
    const polygon = at(
      { absorbance: green, noise: 0 },
      {
        id: 'A1',
        shape: 'polygon',
        points: [
          [60, 50],
          [120, 50],
          [120, 140],
          [60, 140],
        ],
      },
    );
    expect(relative(polygon, truth)).toBeLessThan(1e-9);
    expect(relative(ellipse, truth)).toBeLessThan(0.03);
  });

  it('counts clipped samples by channel (blue is dark enough only where the chord is long)', () => {
    const found = at({ absorbance: [0, 0.3, 4], gains: [2, 1, 1], noise: 0 });
    expect(found.clipped).toEqual([1, 0, expect.closeTo(0.87, 1)]);
  });

  it('sees the meniscus to half a pixel, and none where there is none', () => {
    expect(at({ absorbance: orange, meniscusY: 44.5 }).meniscusY! - 44.5).toBeCloseTo(0, 0);
    expect(at({ absorbance: orange }).meniscusY).toBeNull();
    // An edge on the crop's own border (rows from 20) would move with the crop, not with the liquid.
    expect(at({ absorbance: orange, meniscusY: 21 }).meniscusY).toBeNull();
  });

  it('leaves out the air when the region reaches above the meniscus', () => {
    const found = at({ absorbance: green, meniscusY: 62, noise: 0.004 });
    const truth = at({ absorbance: green, noise: 0.004 });
    expect(found.leftOut).toBeGreaterThan(0.12);
    expect(relative(found, truth)).toBeLessThan(0.005);
  });

  it('tells two layers by the distance of the halves, and grains by the texture', () => {
    const layered = drawVial({ absorbance: orange, noise: 0.004 });
    const other = drawVial({ absorbance: green, noise: 0.004 });
    for (const plane of ['red', 'green', 'blue'] as const)
      layered[plane].set(other[plane].subarray(75 * 120), 75 * 120);
    expect(reader().read(layered)!.halvesDeltaE).toBeGreaterThan(0.1);
    expect(at({ absorbance: orange, noise: 0.004 }).halvesDeltaE).toBeLessThan(0.005);
    expect(at({ absorbance: orange, noise: 0.04 }).texture).toBeGreaterThan(
      5 * at({ absorbance: orange, noise: 0.004 }).texture,
    );
  });

  it('reads nothing when the region has left the crop', () => {
    expect(reader().read(drawVial({ absorbance: orange }), { dx: 300, dy: 0, rotation: 0, scale: 1 })).toBeNull();
  });

  it('becomes columns with null for unreadable frames', () => {
    const reading = at({ absorbance: orange });
    const packed = createReadingColumns();
    packed.push(reading);
    packed.push(null);
    const columns = collectColumns('A1', 'vial', [packed]);
    expect(columns.red).toEqual([reading.rgb[0], null]);
    expect(columns.meniscusY).toEqual([null, null]);
    expect(columns.samples).toEqual([reading.samples, null]);
  });
});
