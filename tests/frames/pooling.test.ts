import { describe, expect, it } from 'vitest';
import type { VideoOptions } from '../../src/frames/index.ts';
import type { CropRequest, RegionPixels } from '../../src/model/frame.ts';
import { collect, ffmpeg, film, height, open, scratch, width } from './media.ts';

const at = scratch();

/** Slices, odd places and a turn are among them; every film pixel that a sample claims must be in it, and no other. */
const crops: readonly CropRequest[] = [
  { id: 'wide', kind: 'vial', x: 10, y: 6, width: 90, height: 24 },
  { id: 'small', kind: 'vial', x: 122, y: 50, width: 16, height: 32 },
  { id: 'edge', kind: 'vial', x: 160, y: 70, width: 32, height: 38 },
];
const pooled = (pooling: 2 | 4 | 8): readonly CropRequest[] =>
  crops.map((crop, place) => ({ ...crop, pooling: place === 1 && pooling === 8 ? 4 : pooling }));

const films: readonly (readonly [name: string, options: Partial<VideoOptions>])[] = [
  ['h264.mp4', {}],
  ['h264-422.mkv', { pixelFormat: 'yuv422p' }],
  ['h264-444.mp4', { pixelFormat: 'yuv444p' }],
  ['hevc-10.mp4', { codec: 'hevc', pixelFormat: 'yuv420p10le' }],
];

describe('a pooled sample is the mean of the finer samples under it', () => {
  it.each(films)('%s', async (name, options) => {
    await holdsIn(await film(at(name), options, 1), { width, height }, (crop) => crop);
  });

  it('in a turned film too', async () => {
    const stored = await film(at('stored.mp4'), {}, 1);
    await ffmpeg('-i', stored, '-c', 'copy', '-metadata:s:v:0', 'rotate=270', at('turned.mp4'));
    await holdsIn(at('turned.mp4'), { width: height, height: width }, (crop) => ({
      ...crop,
      ...{ x: crop.y, y: crop.x, width: crop.height, height: crop.width },
    }));
  });
});

async function holdsIn(
  file: string,
  size: { readonly width: number; readonly height: number },
  place: (crop: CropRequest) => CropRequest,
): Promise<void> {
  const [fine] = await regionsOf(file, [{ id: 'all', kind: 'vial', x: 0, y: 0, ...size }]);
  for (const pooling of [2, 4, 8] as const) {
    for (const region of await regionsOf(file, pooled(pooling).map(place))) {
      expect(region.pixelsPerSample).toBe(region.id === 'small' ? Math.min(4, pooling) : pooling);
      for (const [column, row] of [
        [0, 0],
        [region.width - 1, 0],
        [region.width >> 1, region.height >> 1],
        [0, region.height - 1],
      ] as const) {
        for (const plane of ['red', 'green', 'blue'] as const) {
          const found = region[plane][row * region.width + column];
          expect(found, `${region.id} ${pooling} ${column},${row}`).toBeCloseTo(
            meanUnder(fine!, region, column, row, plane),
            5,
          );
        }
      }
    }
  }
}

async function regionsOf(file: string, asked: readonly CropRequest[]): Promise<readonly RegionPixels[]> {
  const [frame] = await collect(await open(file), asked);
  if (frame?.kind !== 'frame') throw new Error('rejected');
  return frame.regions.map((region) => ({
    ...region,
    red: region.red.slice(),
    green: region.green.slice(),
    blue: region.blue.slice(),
  }));
}

function meanUnder(
  fine: RegionPixels,
  { x, y, pixelsPerSample }: RegionPixels,
  column: number,
  row: number,
  plane: 'red' | 'green' | 'blue',
): number {
  const side = pixelsPerSample / fine.pixelsPerSample;
  const left = (x + column * pixelsPerSample - fine.x) / fine.pixelsPerSample;
  const top = (y + row * pixelsPerSample - fine.y) / fine.pixelsPerSample;
  let sum = 0;
  for (let down = 0; down < side; down++) {
    for (let right = 0; right < side; right++) sum += fine[plane][(top + down) * fine.width + left + right]!;
  }
  return sum / side ** 2;
}
