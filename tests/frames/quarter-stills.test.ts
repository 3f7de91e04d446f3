import { mkdirSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { encodeJpeg, encodePng } from '../../src/frames/index.ts';
import type { CropRequest, RegionPixels } from '../../src/model/frame.ts';
import { collect, means, open, scratch } from './media.ts';

const at = scratch();

// A picture of its own formula: slow in both directions, with a box of another colour; sizes are no multiples of the grid of 8.
const [width, height] = [436, 324];
const box = { x: 150, y: 90, width: 170, height: 180 };
const colourAt = (x: number, y: number): readonly [number, number, number] =>
  x >= box.x && x < box.x + box.width && y >= box.y && y < box.y + box.height
    ? [200 - (y - box.y) / 4, 120 + (x - box.x) / 6, 30]
    : [90 + x / 8, 100 + y / 6, 140];
const data = new Uint8Array(3 * width * height);
for (let y = 0, to = 0; y < height; y += 1) {
  for (let x = 0; x < width; x += 1, to += 3) data.set(colourAt(x, y).map(Math.round), to);
}
const picture = { width, height, data };

/** Crops on no grid: one inside the box, one over its edge, one at the picture's corner. */
const vials: readonly CropRequest[] = [
  { id: 'inside', kind: 'vial', x: 178, y: 118, width: 98, height: 122, pooling: 8 },
  { id: 'edge', kind: 'vial', x: 122, y: 102, width: 90, height: 70, pooling: 8 },
  { id: 'corner', kind: 'vial', x: 346, y: 246, width: 90, height: 78, pooling: 8 },
];
const anchor: CropRequest = { id: 'anchor', kind: 'anchor', x: 134, y: 70, width: 62, height: 62 };

/** The formula's mean over what a region says that it covers, 8-bit codes. */
function meansOfFormula({ x, y, width: across, height: down, pixelsPerSample: side }: RegionPixels): number[] {
  const sums = [0, 0, 0];
  for (let row = y; row < y + down * side; row += 1) {
    for (let column = x; column < x + across * side; column += 1) {
      colourAt(column, row).forEach((value, channel) => (sums[channel]! += value));
    }
  }
  return sums.map((sum) => sum / (across * down * side * side));
}

async function folder(name: string, kind: 'jpg' | 'png'): Promise<string> {
  mkdirSync(at(name));
  const bytes = kind === 'jpg' ? await encodeJpeg(picture, { quality: 95 }) : await encodePng(picture);
  for (const shot of [1, 2, 3])
    writeFileSync(at(`${name}/${shot}.${kind}`), Buffer.concat([bytes, Buffer.from([shot])]));
  return at(name);
}

describe('a JPEG whose regions are all pooled by eight', () => {
  it('is decoded at a quarter of its size: colours of the formula, regions where they say they are', async () => {
    const [frame] = await collect(await open(await folder('quarter', 'jpg')), [...vials, anchor]);
    if (frame?.kind !== 'frame') throw new Error('rejected');
    expect(frame.regions.map(({ pixelsPerSample }) => pixelsPerSample)).toEqual([8, 8, 8, 4]);
    frame.regions.forEach((region, which) => {
      const asked = [...vials, anchor][which]!;
      expect(region.x).toBeLessThanOrEqual(asked.x);
      expect(region.y).toBeLessThanOrEqual(asked.y);
      // a last part of a sample at the picture's edge is left out
      expect(region.x + region.width * region.pixelsPerSample).toBeGreaterThan(asked.x + asked.width - 8);
      expect(region.y + region.height * region.pixelsPerSample).toBeGreaterThan(asked.y + asked.height - 8);
      const wanted = meansOfFormula(region);
      // half a code of JPEG's own loss, and half of the two decoders' roundings
      means(region).forEach((value, channel) => expect(Math.abs(value - wanted[channel]!), region.id).toBeLessThan(1));
    });
  });

  it('is not, as soon as one region is read finer', async () => {
    const finer = vials.map((crop, which) => (which === 0 ? { ...crop, pooling: 4 as const } : crop));
    const [frame] = await collect(await open(at('quarter')), [...finer, anchor]);
    if (frame?.kind !== 'frame') throw new Error('rejected');
    expect(frame.regions.map(({ pixelsPerSample }) => pixelsPerSample)).toEqual([4, 8, 8, 2]);
  });

  it('is looked at so too: the same samples as in the frames', async () => {
    const source = await open(at('quarter'));
    const frames = await collect(source, [...vials, anchor]);
    const looks = [];
    for await (const look of source.looks([0, 1, 0.5], vials)) looks.push(look);
    expect(looks.map(({ timeRunS, pixelsPerSample }) => [timeRunS, pixelsPerSample])).toEqual([
      [frames[0]!.timeRunS, 4],
      [frames[2]!.timeRunS, 4],
      [frames[1]!.timeRunS, 4],
    ]);
    expect(looks[0]!.lightness()).toMatchObject({ width: width / 4, height: height / 4 });
    if (frames[0]?.kind !== 'frame') throw new Error('rejected');
    expect(looks[0]!.regions([...vials, anchor])).toEqual(frames[0].regions);
    // who wants whole pictures gets them
    for await (const look of source.looks([0])) expect([look.pixelsPerSample, look.image().width]).toEqual([1, width]);
  });

  it('a PNG has no such sizes and is looked at whole', async () => {
    const source = await open(await folder('whole', 'png'));
    for await (const look of source.looks([0, 1], vials)) expect(look.pixelsPerSample).toBe(1);
  });
});
