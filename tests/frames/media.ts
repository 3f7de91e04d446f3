import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { afterAll } from 'vitest';
import {
  encodeVideo,
  findFfmpeg,
  type OpenSource,
  openSource,
  type SourceRequest,
  type VideoOptions,
} from '../../src/frames/index.ts';
import type { CropRequest, FramePixels, RegionPixels, RgbImage } from '../../src/model/frame.ts';
import type { Timing } from '../../src/model/run.ts';

/** A scratch folder of one test file, removed at its end. */
export function scratch(): (name: string) => string {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'vialapse-frames-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return (name) => path.join(folder, name);
}

export const width = 192;
export const height = 108;

/** Flat patches of plain colours, the first turning from orange to green over the film. */
export const patches = [
  { id: 'turning', x: 12, y: 10, colour: [220, 120, 24] },
  { id: 'orange', x: 72, y: 10, colour: [226, 128, 20] },
  { id: 'green', x: 132, y: 10, colour: [46, 107, 79] },
  { id: 'grey', x: 12, y: 60, colour: [128, 128, 128] },
  { id: 'white', x: 72, y: 60, colour: [214, 214, 208] },
  { id: 'violet', x: 132, y: 60, colour: [90, 60, 170] },
] as const;
const side = 40;

/** What a patch's colour is in frame `index`, 8-bit code values. */
export function truth(id: string, index: number): readonly [number, number, number] {
  const { colour } = patches.find((patch) => patch.id === id)!;
  if (id !== 'turning') return colour;
  const share = Math.min(1, index / 60);
  const end = [46, 107, 79] as const;
  return [0, 1, 2].map((c) => Math.round(colour[c]! + share * (end[c]! - colour[c]!))) as [number, number, number];
}

/** The upright test picture of frame `index`. */
export function picture(index: number): RgbImage {
  const data = new Uint8Array(width * height * 3).fill(70);
  for (const { id, x, y } of patches) {
    const colour = truth(id, index);
    for (let row = y; row < y + side; row++) {
      for (let column = x; column < x + side; column++) data.set(colour, 3 * (row * width + column));
    }
  }
  return { width, height, data };
}

/** Crops well inside the patches, at odd places and sizes on purpose. */
export const crops: readonly CropRequest[] = patches.map(({ id, x, y }, i) => ({
  ...{ id, kind: 'vial', x: x + 9, y: y + 7, width: 21 + i, height: 25 },
}));

export function pictures(count: number): readonly RgbImage[] {
  return Array.from({ length: count }, (_, i) => picture(i));
}

/** Writes a film of the test pictures. */
export async function film(file: string, options: Partial<VideoOptions> = {}, count = 12): Promise<string> {
  await encodeVideo({ file, width, height, framesPerSecond: 10, crf: 8, ...options }, pictures(count));
  return file;
}

export async function open(
  file: string | readonly string[],
  timing: Timing = { kind: 'interval', intervalS: 20 },
  more: Partial<SourceRequest> = {},
): Promise<OpenSource> {
  const files = typeof file === 'string' ? [file] : file;
  const parts = files.map((name) => ({ file: name, startsRunS: null }));
  return openSource({ parts, timing, baseDir: path.dirname(files[0]!), ...more });
}

/** A frame with its pixels copied, since those of the source are reused. */
export async function collect(source: OpenSource, wanted = crops, anyOrder = false): Promise<readonly FramePixels[]> {
  const frames: FramePixels[] = [];
  for await (const frame of source.frames(wanted, { anyOrder })) {
    if (frame.kind === 'rejected') frames.push(frame);
    else {
      const regions = frame.regions.map((region) => ({
        ...region,
        ...{ red: region.red.slice(), green: region.green.slice(), blue: region.blue.slice() },
      }));
      frames.push({ ...frame, regions });
    }
  }
  return frames;
}

/** Mean of each channel, 8-bit code values. */
export function means(region: RegionPixels): readonly [number, number, number] {
  const mean = (plane: Float32Array): number => (255 * plane.reduce((sum, value) => sum + value, 0)) / plane.length;
  return [mean(region.red), mean(region.green), mean(region.blue)];
}

/** Largest distance of any region's mean in any frame from the truth, 8-bit codes. */
export function worstError(frames: readonly FramePixels[]): number {
  let worst = 0;
  for (const frame of frames) {
    if (frame.kind === 'rejected') throw new Error(`frame ${frame.index} was rejected: ${frame.reason}`);
    for (const region of frame.regions) {
      const expected = truth(region.id, frame.index);
      means(region).forEach((value, c) => (worst = Math.max(worst, Math.abs(value - expected[c]!))));
    }
  }
  return worst;
}

/** Runs ffmpeg for what encodeVideo does not do. */
export async function ffmpeg(...arguments_: readonly string[]): Promise<void> {
  await promisify(execFile)(await findFfmpeg(), ['-nostdin', '-y', '-loglevel', 'error', ...arguments_]);
}
