import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { collectColumns, createRegionReader, regionCrop } from '../../src/colour/index.ts';
import { encodeVideo, openSource } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import type { Region } from '../../src/model/region.ts';
import { readFrames } from '../../src/read-frames.ts';
import { picture, region } from '../cli/bench.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-two-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const frames = 150;

function* film(): Generator<RgbImage> {
  for (let index = 0; index < frames; index += 1) yield picture(index / frames);
}

it('one decoder and two give the same readings, in order of time', async () => {
  const file = path.join(folder, 'film.mp4');
  await encodeVideo({ file, width: 160, height: 96, framesPerSecond: 10, keyFrameEvery: 30 }, film());
  const read = async (
    twoDecoders: boolean,
  ): Promise<{ starts: readonly number[]; read: object; index: readonly number[] }> => {
    const source = await openSource({
      parts: [{ file, startsRunS: null }],
      timing: { kind: 'interval', intervalS: 60 },
      baseDir: folder,
    });
    try {
      const frame = { width: source.info.width, height: source.info.height };
      const measured = [0, 1, 2, 3].map((vial) => {
        const placed = region(`A${vial}`, vial) as Region;
        const crop = regionCrop(placed, 'vial', frame, 4);
        return { crop, reader: createRegionReader(placed, crop, { frame, transfer: 'srgb' }) };
      });
      const anchors = [{ id: 'anchor 1', kind: 'anchor' as const, x: 20, y: 20, width: 48, height: 40 }];
      const request = { source, measured, anchors, twoDecoders, onFrame: () => undefined };
      const { readings, ...read } = await readFrames(request);
      const columns = readings.map((stretches) => collectColumns('A', 'vial', stretches));
      return { starts: source.stretchStarts, read: { ...read, columns }, index: read.index };
    } finally {
      await source.close();
    }
  };
  const one = await read(false);
  const two = await read(true);
  expect(one.starts).toHaveLength(1);
  expect(two.read).toEqual(one.read);
  expect(two.index).toEqual(Array.from({ length: frames }, (_, index) => index));
});

it('looks at key frames and some frames after them, each with its own time, as they are when read in order', async () => {
  const file = path.join(folder, 'looks.mp4');
  await encodeVideo({ file, width: 160, height: 96, framesPerSecond: 10, keyFrameEvery: 30, crf: 10 }, film());
  const open = { parts: [{ file, startsRunS: null }], timing: { kind: 'interval', intervalS: 60 } as const };
  const source = await openSource({ ...open, baseDir: folder });
  const crop = { id: 'A', kind: 'vial' as const, x: 52, y: 36, width: 16, height: 40 };
  const looked = new Map<number, Float32Array>();
  for await (const look of source.looks([0, 0.4, 1, 0.2, 0.6, 0.8])) {
    expect(look.image()).toMatchObject({ width: 160, height: 96 });
    looked.set(Math.round(look.timeRunS / 60), look.regions([crop])![0]!.green.slice());
  }
  // Key frames at 0, 30, 60, 90, 120; the sixth picture is some frames after the first of them.
  expect([...looked.keys()].sort((a, b) => a - b)).toEqual([0, 12, 30, 60, 90, 120]);
  for await (const one of source.frames([crop])) {
    if (one.kind === 'frame' && looked.has(one.index)) expect(one.regions[0]!.green).toEqual(looked.get(one.index));
  }
  await source.close();
});

it('looks at a film with one key frame in one pass, spread over the run', async () => {
  const file = path.join(folder, 'one-key.mp4');
  await encodeVideo({ file, width: 160, height: 96, framesPerSecond: 10, keyFrameEvery: 1000 }, film());
  const open = { parts: [{ file, startsRunS: null }], timing: { kind: 'interval', intervalS: 60 } as const };
  const source = await openSource({ ...open, baseDir: folder });
  const seen: number[] = [];
  for await (const look of source.looks([0, 0.4, 1, 0.2, 0.6, 0.8])) seen.push(Math.round(look.timeRunS / 60));
  expect(seen).toEqual([0, 29, 59, 89, 119, 149]);
  await source.close();
});
