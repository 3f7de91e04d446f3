import { describe, expect, it } from 'vitest';
import { createRegionReader } from '../../src/colour/region-reader.ts';
import type { RegionPixels } from '../../src/model/frame.ts';
import type { Region } from '../../src/model/region.ts';
import { drawnCrop, drawVial, type VialDrawing } from './pictures.ts';

const region: Region = { id: 'A1', shape: 'rect', x: 50, y: 30, width: 80, height: 120 };
const options = { frame: { width: 400, height: 300 }, transfer: 'srgb' } as const;
const orange = [0.05, 0.6, 3.5] as const;
const green = [0.9, 0.3, 1] as const;
/** Rows of the drawn crop above this belong to an upper layer: a third of the region. */
const boundary = 70;

/** Liquid of one colour under a layer of another. */
function layered(lower: VialDrawing, upper: VialDrawing): RegionPixels {
  const below = drawVial(lower);
  const above = drawVial(upper);
  const rows = (boundary - drawnCrop.y) / below.pixelsPerSample;
  const join = (first: Float32Array, second: Float32Array): Float32Array =>
    second.map((value, index) => (index < rows * below.width ? first[index]! : value));
  return {
    ...below,
    red: join(above.red, below.red),
    green: join(above.green, below.green),
    blue: join(above.blue, below.blue),
  };
}

const weak = (absorbance: readonly [number, number, number]): VialDrawing['absorbance'] => [
  0.15 * absorbance[0],
  0.15 * absorbance[1],
  0.15 * absorbance[2],
];

function readAfter(looks: readonly RegionPixels[], last: RegionPixels): number {
  const reader = createRegionReader(region, drawnCrop, options);
  for (const look of looks) reader.learn(look);
  return reader.read(last)!.halvesDeltaE;
}

describe('a second layer left out of the mask', () => {
  it.each([1, 2])('is compared with the liquid below it, at %i pixels a sample', (pixelsPerSample) => {
    const at = (absorbance: typeof orange | typeof green, seed: string): RegionPixels =>
      layered(
        { absorbance, seed, pixelsPerSample },
        { absorbance: weak(absorbance), seed: `${seed}-upper`, pixelsPerSample },
      );
    const looks = [at(orange, 'a'), at(orange, 'b'), at(green, 'c'), at(green, 'd')];
    expect(readAfter(looks, at(green, 'e'))).toBeGreaterThan(0.05);
  });

  it('is no air above a meniscus that sank', () => {
    const at = (meniscusY: number, seed: string): RegionPixels => drawVial({ absorbance: orange, meniscusY, seed });
    const looks = [at(25, 'a'), at(36, 'b'), at(48, 'c'), at(70, 'd'), at(70, 'e'), at(70, 'f')];
    expect(readAfter(looks, at(70, 'g'))).toBeLessThan(0.02);
  });

  it('is no glass of an empty upper third', () => {
    const at = (seed: string): RegionPixels => drawVial({ absorbance: orange, meniscusY: boundary, seed });
    expect(readAfter([at('a'), at('b'), at('c')], at('d'))).toBeLessThan(0.02);
  });
});
