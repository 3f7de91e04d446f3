import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { readSeries } from '../../src/extent-series.ts';
import { encodeJpeg, encodePng, encodeVideo, type VideoOptions } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import { measure } from '../../src/kept-measurement.ts';
import { createScenario, simulateFrames } from '../../src/simulate/index.ts';
import { heic } from '../frames/heic-file.ts';
import { ffmpeg } from '../frames/media.ts';
import { benchFolder, requestOn, scenario as rack, writeRun } from './rack.ts';

/**
 * The same frames through every format: the extents are those of the frames without loss, in every frame of every vial.
 * Tolerances: none for 16 bit; 0.03 for 8 bit of limited range and coders with losses, which move the path that is fitted
 * to all vials, most where half of the reagent is spent (measured: films 0.007 to 0.016, pictures 0.003 to 0.008).
 */
const { frame, vials, rack: places } = rack;
const scenario = createScenario({
  ...{ name: 'encoded', seed: 4, frame, frameCount: 16, intervalS: 500, rack: places, reading: { readAtS: 7200 } },
  vials: vials.map(({ label, role, kinetics }) => ({ label, role, kinetics })),
});
const folder = benchFolder();
let pictures: readonly RgbImage[];
let plain: Extents;

interface Extents {
  readonly extents: readonly (readonly number[])[];
  readonly timeRunS: readonly number[];
  /** Linear red of every vial and frame: what is measured, before any path is fitted. */
  readonly red: readonly (readonly (number | null)[])[];
}

/** Measures a source and reads the extents of all vials. */
async function extentsOf(at: string, source: string, timing?: object): Promise<Extents> {
  const request = await requestOn(
    writeRun(
      at,
      source,
      ({ run }) => {
        if (timing !== undefined) run.timing = timing;
      },
      scenario,
    ),
  );
  const { measurement } = await measure(request);
  const { run, reaction } = request;
  const added = run.vials.map(({ addedRunS }) => addedRunS!);
  const { series } = readSeries(measurement, run, reaction, null, added, () => true);
  expect(measurement.rejected).toEqual([]);
  return {
    extents: series.map(({ extent }) => extent.map((value) => value!)),
    timeRunS: measurement.frames.timeRunS,
    red: measurement.vials.map(({ red }) => red),
  };
}

function expectSame({ extents, timeRunS }: Extents, tolerance: number): void {
  expect(timeRunS).toEqual(plain.timeRunS);
  const worst = Math.max(
    ...extents.flatMap((values, vial) => values.map((value, at) => Math.abs(value - plain.extents[vial]![at]!))),
  );
  expect(extents.flat()).toHaveLength(scenario.frameCount * scenario.vials.length);
  expect(worst).toBeLessThanOrEqual(tolerance);
}

async function film(name: string, options: Partial<VideoOptions> = {}): Promise<{ at: string; file: string }> {
  const at = folder(name.replaceAll('.', '-'));
  const file = path.join(at, name);
  await encodeVideo({ file, ...frame, framesPerSecond: 10, crf: 8, ...options }, pictures);
  return { at, file };
}

async function stills(ending: string, encode: (picture: RgbImage) => Promise<Uint8Array>): Promise<string> {
  const at = folder(`stills-${ending}`);
  mkdirSync(path.join(at, 'shots'));
  for (const [index, picture] of pictures.entries())
    writeFileSync(path.join(at, 'shots', `${index}.${ending.replace(/^.*-/, '')}`), await encode(picture));
  return at;
}

const raw = ({ data, width, height }: RgbImage): Sharp => sharp(data, { raw: { width, height, channels: 3 } });

/** The same in 16 bit: 65535 / 255 = 257. */
const deep = ({ data, width, height }: RgbImage): Sharp =>
  sharp(
    Uint16Array.from(data, (value) => 257 * value),
    { raw: { width, height, channels: 3 } },
  ).toColourspace('rgb16');

beforeAll(async () => {
  pictures = [...simulateFrames(scenario)];
  plain = await extentsOf(await stills('png', encodePng), 'shots');
  const [blank, positive] = plain.extents;
  expect(Math.max(...blank!.map(Math.abs))).toBeLessThan(0.02);
  expect(positive!.at(-1)).toBeGreaterThan(0.97);
});

describe('films', () => {
  it.each<[name: string, options: Partial<VideoOptions>, tolerance: number]>([
    ['h264.mp4', { framesPerSecond: 1 }, 0.03],
    ['h264-601.mp4', { colourTags: 'none' }, 0.03],
    ['h264-full.mp4', { range: 'full', framesPerSecond: 120 }, 0.03],
    ['hevc-10.mp4', { codec: 'hevc', pixelFormat: 'yuv420p10le' }, 0.03],
    ['vp9.webm', { codec: 'vp9' }, 0.03],
    ['av1.mkv', { codec: 'av1' }, 0.03],
    // The carried ffmpeg writes no matrix into ProRes: as an untagged film.
    ['prores.mov', { codec: 'prores', colourTags: 'none' }, 0.03],
    ['motion.avi', { codec: 'mjpeg' }, 0.03],
    ['rgb.mkv', { codec: 'ffv1', pixelFormat: 'gbrp' }, 0.001],
  ])(
    '%s',
    async (name, options, tolerance) => {
      const { at } = await film(name, options);
      expectSame(await extentsOf(at, name), tolerance);
    },
    240_000,
  );

  it('turned: a film that a player must turn by a quarter', async () => {
    const turned = pictures.map(({ width, height, data }) => {
      // Stored a quarter to the left, so that a turn to the right makes it upright.
      const stored = new Uint8Array(data.length);
      for (let row = 0; row < height; row += 1)
        for (let column = 0; column < width; column += 1) {
          const from = 3 * (row * width + column);
          stored.set(data.subarray(from, from + 3), 3 * ((width - 1 - column) * height + row));
        }
      return { width: height, height: width, data: stored };
    });
    const at = folder('turned');
    const size = { width: frame.height, height: frame.width };
    const file = path.join(at, 'stored.mp4');
    await encodeVideo({ file, ...size, framesPerSecond: 10, crf: 8 }, turned);
    // ffmpeg of before 2020 counts the turn it writes to the left.
    await ffmpeg('-i', file, '-c', 'copy', '-metadata:s:v:0', 'rotate=270', path.join(at, 'film.mp4'));
    expectSame(await extentsOf(at, 'film.mp4'), 0.03);
  });

  it('at a varying rate, by the speed of playback', async () => {
    const at = folder('varying');
    const file = path.join(at, 'even.mkv');
    const twice = pictures.flatMap((picture) => [picture, picture]);
    await encodeVideo({ file, ...frame, framesPerSecond: 10, codec: 'ffv1', pixelFormat: 'gbrp' }, twice);
    // Of every four frames the first and the last stay: the camera's pace goes to and fro.
    const select = String.raw`select=eq(mod(n\,4)\,0)+eq(mod(n\,4)\,3)`;
    await ffmpeg('-i', file, '-vf', select, '-vsync', 'vfr', '-c:v', 'ffv1', path.join(at, 'film.mkv'));
    const found = await extentsOf(at, 'film.mkv', { speed: 2500 });
    found.timeRunS.forEach((time, index) => expect(time).toBeCloseTo(500 * index + (index % 2) * 250, 3));
    // Which colours pin the path depends on their times: compared is what was measured.
    const apart = found.red.flatMap((values, vial) =>
      values.map((value, at) => Math.abs(value! - plain.red[vial]![at]!)),
    );
    expect(Math.max(...apart)).toBeLessThan(0.002);
  });
});

describe('pictures', () => {
  it.each<[ending: string, encode: (picture: RgbImage) => Promise<Uint8Array>, tolerance: number]>([
    ['deep-tif', (picture) => deep(picture).tiff({ compression: 'lzw' }).toBuffer(), 1e-6],
    ['deep-png', (picture) => deep(picture).png().toBuffer(), 1e-6],
    ['jpg', (picture) => encodeJpeg(picture, { quality: 85 }), 0.03],
    ['lossy-webp', (picture) => raw(picture).webp({ quality: 95 }).toBuffer(), 0.03],
    ['avif', (picture) => raw(picture).avif({ quality: 90, effort: 0, chromaSubsampling: '4:4:4' }).toBuffer(), 0.03],
    ['p3-png', (picture) => raw(picture).withIccProfile('p3').png().toBuffer(), 0.03],
  ])('%s', async (ending, encode, tolerance) => {
    expectSame(await extentsOf(await stills(ending, encode), 'shots'), tolerance);
  });

  it('heic', async () => {
    const at = folder('heic');
    mkdirSync(path.join(at, 'shots'));
    const file = path.join(at, 'one.mp4');
    for (const [index, picture] of pictures.entries()) {
      await encodeVideo(
        {
          file,
          ...frame,
          framesPerSecond: 1,
          codec: 'hevc',
          preset: 'ultrafast',
          crf: 8,
          range: 'full',
          colourTags: 'bt601',
        },
        [picture],
      );
      writeFileSync(path.join(at, 'shots', `${index}.heic`), heic(readFileSync(file), frame.width, frame.height));
    }
    expectSame(await extentsOf(at, 'shots'), 0.03);
  }, 240_000);

  it('in numbered folders, as cameras begin a new one after some hundred', async () => {
    const at = folder('numbered');
    for (const index of pictures.keys()) {
      const where = path.join(at, 'DCIM', index < 9 ? '100_SHOT' : '101_SHOT');
      mkdirSync(where, { recursive: true });
      copyFileSync(path.join(folder('stills-png'), 'shots', `${index}.png`), path.join(where, `S${1000 + index}.png`));
    }
    expectSame(await extentsOf(at, 'DCIM/*/*.png'), 1e-9);
  });
});
