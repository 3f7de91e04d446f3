import { readFileSync, writeFileSync } from 'node:fs';
import Color from 'colorjs.io';
import { expect, it } from 'vitest';
import { encodeVideo } from '../../src/frames/index.ts';
import { heic } from './heic-file.ts';
import { collect, means, open, scratch } from './media.ts';

const at = scratch();

const colours = [
  [220, 120, 24],
  [46, 107, 79],
] as const;
const wanted = [10, 110].map((x) => ({ id: `x${x}`, kind: 'vial' as const, x, y: 40, width: 30, height: 30 }));

async function filmOfOne(): Promise<Buffer> {
  const data = new Uint8Array(192 * 128 * 3);
  for (let i = 0; i < data.length; i += 3) data.set(colours[i % 576 < 288 ? 0 : 1], i);
  const options = { file: at('one.mp4'), width: 192, height: 128, framesPerSecond: 25, codec: 'hevc', crf: 4 } as const;
  await encodeVideo({ ...options, colourTags: 'bt601', range: 'full' }, [{ width: 192, height: 128, data }]);
  return readFileSync(at('one.mp4'));
}

it('HEIC is read through its own decoder', async () => {
  writeFileSync(at('one.heic'), heic(await filmOfOne(), 192, 128));
  const source = await open(at('one.heic'));
  expect(source.info).toMatchObject({ kind: 'stills', width: 192, height: 128, conversion: null });
  const [frame] = await collect(source, wanted);
  if (frame?.kind !== 'frame') throw new Error('rejected');
  frame.regions.forEach((region, i) => {
    means(region).forEach((value, c) => expect(Math.abs(value - colours[i]![c]!), `${region.id} ${c}`).toBeLessThan(3));
  });
  expect((await source.still(0)).image.data.subarray(0, 3)).toHaveLength(3);
});

it('Display P3 named by the container alone is converted, unclipped', async () => {
  writeFileSync(at('p3.heic'), heic(await filmOfOne(), 192, 128, [12, 13]));
  const source = await open(at('p3.heic'));
  expect(source.info.notes.map(({ code }) => code)).toEqual(['profile-converted']);
  const [frame] = await collect(source, wanted);
  if (frame?.kind !== 'frame') throw new Error('rejected');
  frame.regions.forEach((region, i) => {
    const [r, g, b] = colours[i]!;
    const expected = new Color('p3', [r / 255, g / 255, b / 255]).to('srgb').coords;
    // In linear light, where a code of 8 bit is at most 1 / 110.
    means(region).forEach((value, c) =>
      expect(linear(value / 255), `${region.id} ${c}`).toBeCloseTo(linear(expected[c]!), 1.7),
    );
  });
  expect(Math.min(...frame.regions[0]!.blue)).toBeLessThan(0);
});

it('a picture in PQ or HLG is refused by name', async () => {
  for (const [transfer, name] of [
    [16, 'PQ'],
    [18, 'HLG'],
  ] as const) {
    writeFileSync(at('hdr.heic'), heic(await filmOfOne(), 192, 128, [9, transfer]));
    await expect(open(at('hdr.heic'))).rejects.toThrow(`high dynamic range picture (${name})`);
  }
});

const linear = (encoded: number): number => new Color('srgb', [encoded, 0, 0]).to('srgb-linear').coords[0]!;
