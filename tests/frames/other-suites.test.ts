import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { PNG } from 'pngjs';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { findFfmpeg } from '../../src/frames/index.ts';
import { readStillFacts } from '../../src/frames/stills/still-facts.ts';
import type { RegionPixels } from '../../src/model/frame.ts';
import { collect, open } from './media.ts';

/** Files of other programs' test suites; fixtures/README.md says whence. */
const media = path.resolve(import.meta.dirname, '..', '..', 'fixtures', 'media');
const suite = (name: string): string => path.join(media, 'pngsuite', name);

/** The whole picture as it is measured. */
async function measured(file: string) {
  const source = await open(file);
  const { width, height } = source.info;
  const [frame] = await collect(source, [{ id: 'whole', kind: 'vial', x: 0, y: 0, width, height }]);
  if (frame?.kind !== 'frame') throw new Error(`${file}: ${frame?.reason ?? 'no frame'}`);
  return { info: source.info, region: frame.regions[0]! };
}

const planes = ({ red, green, blue }: RegionPixels) => [red, green, blue] as const;

/** Largest difference of three planes from interleaved samples of `channels` a pixel. */
function worst(region: RegionPixels, samples: ArrayLike<number>, channels: number, expected: (code: number) => number) {
  let largest = 0;
  for (const [channel, plane] of planes(region).entries()) {
    plane.forEach((value, i) => {
      largest = Math.max(largest, Math.abs(value - expected(samples[channels * i + channel]!)));
    });
  }
  return largest;
}

/** IEC 61966-2-1. */
const encode = (light: number): number => (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);

describe('PngSuite (every colour type and depth), against pngjs', () => {
  const names = readdirSync(path.join(media, 'pngsuite')).sort();
  // n3p: a palette.
  const palettes = names.filter((name) => name.includes('n3p'));

  it('is there', () => {
    expect(names).toHaveLength(24);
  });

  it.each(palettes)('%s has a palette, and is refused by name', async (name) => {
    await expect(measured(suite(name))).rejects.toThrow(/at most 256 colours/);
  });

  it.each(names.filter((name) => !palettes.includes(name)))('%s', async (name) => {
    const { info, region } = await measured(suite(name));
    // The suite's names: color type and depth last; pictures of 32 x 32.
    const depth = Number(/(\d\d)\.png$/.exec(name)![1]);
    expect(info).toMatchObject({ width: 32, height: 32, codec: 'png' });
    expect(info.bitDepth).toBe(depth);
    const { data } = PNG.sync.read(readFileSync(suite(name)), { skipRescale: depth === 16 });
    const top = depth === 16 ? 65_535 : 255;
    // The plain ones name a gamma of 1, that is linear light; the interlaced ones (i...) name none.
    const linear = name.startsWith('b');
    expect(info.notes.map(({ code }) => code)).toEqual(linear ? ['gamma-converted'] : []);
    const expected = (code: number): number => (linear ? encode(code / top) : code / top);
    expect(worst(region, data, 4, expected)).toBeLessThan(5e-6);
  });

  it('shows linear light as bright as it is measured', async () => {
    const { region } = await measured(suite('basn2c08.png'));
    const { image } = await (await open(suite('basn2c08.png'))).still(0);
    expect(worst(region, image.data, 3, (code) => code / 255)).toBeLessThan(0.51 / 255);
  });

  it('keeps steps finer than those of 8 bit', async () => {
    const { region } = await measured(suite('ibasn2c16.png'));
    const between = region.red.filter((value) => Math.abs(255 * value - Math.round(255 * value)) > 0.1);
    expect(between.length).toBeGreaterThan(100);
  });
});

describe('EXIF as node-exif tells it', () => {
  // Stored pixel of an upright one: EXIF 2.32, 4.6.4, tag 274 (8: first row is the left side, first column the bottom).
  it.each([
    ['right.jpg', 8, [480, 640], (x: number, y: number) => [639 - y, x]],
    ['down-mirrored.jpg', 4, [480, 640], (x: number, y: number) => [x, 639 - y]],
  ] as const)('%s is turned upright', async (name, orientation, [width, height], stored) => {
    const file = path.join(media, 'exif', name);
    expect(await readStillFacts(file)).toMatchObject({ orientation, width, height, time: null, settings: null });
    const { region } = await measured(file);
    const { data, info } = await sharp(file).greyscale().raw().toBuffer({ resolveWithObject: true });
    let different = 0;
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const [column, row] = stored(x, y);
        const expected = data[row! * info.width + column!]! / 255;
        if (Math.abs(region.green[y * width + x]! - expected) > 1 / 255) different++;
      }
    }
    expect(different).toBe(0);
    // There is something to turn: black letters on white.
    expect(region.green.some((value) => value < 0.2)).toBe(true);
  });
});

describe("libwebp's test picture", () => {
  // Later libwebp turns colours a little otherwise than the one the reference is of.
  it('is read as its reference within one code', async () => {
    const { info, region } = await measured(path.join(media, 'webp', 'test.webp'));
    const reference = readFileSync(path.join(media, 'webp', 'test_ref.ppm'));
    const [header, size] = /^P6\s(\d+ \d+)\s255\s/.exec(reference.toString('latin1', 0, 40))!;
    expect(`${info.width} ${info.height}`).toBe(size);
    expect(worst(region, reference.subarray(header.length), 3, (code) => code / 255)).toBeLessThan(1.01 / 255);
  });
});

describe('a TIFF with LZW and alpha, big-endian', () => {
  it("is read as ffmpeg's decoder reads it", async () => {
    const file = path.join(media, 'tiff', 'Arbitro.tiff');
    const { info, region } = await measured(file);
    expect(info).toMatchObject({ width: 174, height: 38, bitDepth: 8, codec: 'tiff' });
    const raw = ['-f', 'rawvideo', '-pix_fmt', 'rgba', '-'];
    const other = execFileSync(await findFfmpeg(), ['-nostdin', '-loglevel', 'error', '-i', file, ...raw]);
    expect(worst(region, other, 4, (code) => code / 255)).toBeLessThan(1e-6);
    expect(new Set(region.red).size).toBeGreaterThan(10);
  });
});

describe('a WebM test card (VP8) by an encoder of 2011, its last part cut off', () => {
  const file = path.join(media, 'webm', 'test-cut.webm');
  const bars = Array.from({ length: 7 }, (_, bar) => ({
    ...{ id: `bar ${bar}`, kind: 'vial' as const, x: 20 + 16 * bar, y: 164, width: 8, height: 8 },
  }));

  /** Milliseconds of the video's blocks: cluster (1F43B675), its time (E7) and simple blocks (A3) of track 1 (RFC 9559, 5.1.3 and 10). */
  function blockTimes(bytes: Buffer): readonly number[] {
    const number = (at: number) => {
      const length = Math.clz32(bytes[at]!) - 23;
      let value = bytes[at]! & (0xff >> length);
      for (let i = 1; i < length; i++) value = value * 256 + bytes[at + i]!;
      return { value, next: at + length };
    };
    const times: number[] = [];
    const mark = Buffer.from([0x1f, 0x43, 0xb6, 0x75]);
    for (let at = bytes.indexOf(mark); at >= 0; at = bytes.indexOf(mark, at + 4)) {
      let place = number(at + 4).next;
      let cluster = 0;
      while (place + 8 < bytes.length) {
        const { value: length, next } = number(place + 1);
        if (bytes[place] === 0xe7) cluster = bytes.readUIntBE(next, length);
        else if (bytes[place] !== 0xa3 && bytes[place] !== 0xab) break;
        else if (bytes[place] === 0xa3 && bytes[next] === 0x81 && next + length <= bytes.length)
          times.push(cluster + bytes.readInt16BE(next + 1));
        place = next + length;
      }
    }
    return times;
  }

  it('is read to the cut, every picture at the time of its own block', async () => {
    const source = await open(file, { kind: 'speed', speed: 1 });
    expect(source.info).toMatchObject({
      codec: 'vp8',
      width: 320,
      height: 240,
      conversion: 'BT.601 limited range (assumed)',
    });
    const [note] = source.info.notes.filter(({ code }) => code === 'video-breaks-off');
    expect(note?.message).toMatch(/promises 6\.0 s of playback, pictures are there for 5\.2 s/);
    const frames = await collect(source, bars);
    expect(frames.every(({ kind }) => kind === 'frame')).toBe(true);
    const blocks = blockTimes(readFileSync(file));
    expect(blocks.length).toBeGreaterThan(150);
    expect(frames.map(({ timeRunS }) => Math.round(1000 * timeRunS!))).toEqual(blocks.map((time) => time - blocks[0]!));
  });

  it("shows its colour bars as ffmpeg's own conversion does, and near the 75 % that they are named for", async () => {
    const [frame] = await collect(await open(file, { kind: 'speed', speed: 1 }), bars);
    if (frame?.kind !== 'frame') throw new Error('no frame');
    const raw = [
      '-frames:v',
      '1',
      '-vf',
      'scale=in_color_matrix=bt601:in_range=tv',
      '-f',
      'rawvideo',
      '-pix_fmt',
      'rgb24',
      '-',
    ];
    const other = execFileSync(await findFfmpeg(), ['-nostdin', '-loglevel', 'error', '-i', file, ...raw]);
    // White, yellow, cyan, green, magenta, red, blue (SMPTE EG 1); the card's own are up to 20 codes off.
    const nominal = ['111', '110', '011', '010', '101', '100', '001'];
    frame.regions.forEach((region, bar) => {
      for (const [channel, plane] of planes(region).entries()) {
        const mean = (255 * plane.reduce((sum, value) => sum + value, 0)) / plane.length;
        expect(Math.abs(mean - other[3 * (320 * 168 + bars[bar]!.x + 4) + channel]!), `${bar} ${channel}`).toBeLessThan(
          3,
        );
        expect(Math.abs(mean - 191.25 * Number(nominal[bar]![channel])), `${bar} ${channel}`).toBeLessThan(21);
      }
    });
  });
});
