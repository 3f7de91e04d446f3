import { copyFileSync, mkdirSync, utimesSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { encodeJpeg, encodePng } from '../../src/frames/index.ts';
import { collect, crops, open, picture, scratch } from './media.ts';

const at = scratch();
const few = [crops[0]!];

async function series(name: string, files: Readonly<Record<string, number>>, times: readonly string[] = []) {
  mkdirSync(at(name));
  for (const [i, [file, index]] of Object.entries(files).entries()) {
    const exif = times[i] === undefined ? {} : { exif: { dateTimeOriginal: `2026:03:02 ${times[i]}` } };
    const bytes = file.endsWith('.png')
      ? await encodePng(picture(index))
      : await encodeJpeg(picture(index), { quality: 80, ...exif });
    writeFileSync(at(`${name}/${file}`), bytes);
  }
  return at(name);
}

const read = async (folder: string) => {
  const source = await open(folder);
  const frames = await collect(source, few);
  return {
    files: frames.map((frame) => path.basename(frame.file!)),
    frames,
    codes: source.info.notes.map(({ code }) => code),
    said: source.info.notes.map(({ message }) => message).join('\n'),
  };
};

describe('pictures of a shot that is there already take no time of their own', () => {
  it('the same shot in two formats, and the film of a live picture', async () => {
    const dir = await series('live', { 'IMG_1.jpg': 0, 'IMG_2.jpg': 10, 'IMG_2.png': 10, 'IMG_3.jpg': 20 });
    writeFileSync(path.join(dir, 'IMG_1.MOV'), 'a film');
    const { files, codes, said } = await read(dir);
    expect(files).toEqual(['IMG_1.jpg', 'IMG_2.jpg', 'IMG_3.jpg']);
    expect(codes).toEqual(['stills-left-out', 'live-films']);
    expect(said).toMatch(/1 of 4 pictures show the same shots .* \(first: live\/IMG_2\.png\)/);
    expect(said).toMatch(/1 film named like a picture .*IMG_1\.MOV/);
  });

  it('small versions and copies by name', async () => {
    const dir = await series('thumbs', { 'a1.jpg': 0, 'a1_thumb.jpg': 0, 'a2.jpg': 10, 'a2 (1).jpg': 10 });
    await sharp(path.join(dir, 'a1.jpg')).resize(48).toFile(path.join(dir, 'a2-thumbnail.jpg'));
    const { files, codes } = await read(dir);
    expect(files).toEqual(['a1.jpg', 'a2.jpg']);
    expect(codes).toEqual(['stills-left-out', 'stills-left-out']);
  });

  it('what only looks like a copy stays', async () => {
    const { files, codes } = await read(await series('stays', { 'rack (1).jpg': 0, 'rack (2).jpg': 10 }));
    expect(files).toEqual(['rack (1).jpg', 'rack (2).jpg']);
    expect(codes).toEqual([]);
  });

  it('the same bytes twice: rejected by reason, in its place in time', async () => {
    const dir = await series('twice', { '1.jpg': 0, '2.jpg': 5, '4.jpg': 10 });
    copyFileSync(path.join(dir, '2.jpg'), path.join(dir, '3.jpg'));
    const { frames, codes } = await read(dir);
    expect(frames.map((frame) => [frame.kind, frame.timeRunS])).toEqual([
      ['frame', 0],
      ['frame', 20],
      ['rejected', 40],
      ['frame', 60],
    ]);
    expect(frames[2]).toMatchObject({ reason: expect.stringContaining('byte for byte') });
    expect(codes).toEqual(['stills-repeated']);
  });
});

describe('numbers that ran out', () => {
  const named = { 'IMG_0001.jpg': 30, 'IMG_0002.jpg': 40, 'IMG_9998.jpg': 0, 'IMG_9999.jpg': 10 };
  const rolled = ['IMG_9998.jpg', 'IMG_9999.jpg', 'IMG_0001.jpg', 'IMG_0002.jpg'];
  const asNamed = Object.keys(named);
  const dated = (dir: string, seconds: readonly number[]): string => {
    asNamed.forEach((file, i) => utimesSync(path.join(dir, file), seconds[i]!, seconds[i]!));
    return dir;
  };

  it("follow the camera's clock", async () => {
    const dir = await series('clock', named, ['10:00:40', '10:01:00', '10:00:00', '10:00:20']);
    const { files, codes, said, frames } = await read(dated(dir, [5000, 5000, 5000, 5000]));
    expect(files).toEqual(rolled);
    expect(frames.map((frame) => frame.timeRunS)).toEqual([0, 20, 40, 60]);
    expect(codes).toEqual(['numbers-rolled']);
    expect(said).toMatch(/IMG_0001\.jpg follows clock\/IMG_9999\.jpg/);
  });

  it('or the dates of the files', async () => {
    const { files, codes } = await read(dated(await series('dates', named), [5040, 5060, 5000, 5020]));
    expect([files, codes]).toEqual([rolled, ['numbers-rolled']]);
  });

  it('a gap in the numbers alone changes nothing', async () => {
    const times = ['10:00:00', '10:00:20', '10:00:40', '10:01:00'];
    const { files, codes } = await read(await series('gap', named, times));
    expect([files, codes]).toEqual([asNamed, []]);
  });

  it('are said when nothing tells, and kept where the user gave the order', async () => {
    const dir = dated(await series('unclear', named), [5000, 5000, 5000, 5000]);
    const { files, codes } = await read(dir);
    expect([files, codes]).toEqual([asNamed, ['numbers-rolled-unclear']]);
    const given = await open(rolled.map((file) => path.join(dir, file)));
    expect((await collect(given, few)).map((frame) => path.basename(frame.file!))).toEqual(rolled);
    expect(given.info.notes).toEqual([]);
  });
});

describe('16 bit', () => {
  const size = { width: 40, height: 30 };
  const filled = (...pixel: number[]): Uint16Array =>
    Uint16Array.from({ length: 40 * 30 * pixel.length }, (_, i) => pixel[i % pixel.length]!);
  const colour = filled(30001, 257, 65535);
  const one = [{ id: 'a', kind: 'vial' as const, x: 3, y: 4, width: 5, height: 6 }];

  it.each([
    [
      'colour.tif',
      () =>
        sharp(colour, { raw: { ...size, channels: 3 } })
          .toColourspace('rgb16')
          .tiff({ compression: 'lzw' }),
      [30001, 257, 65535],
    ],
    [
      'four.png',
      () =>
        sharp(filled(30001, 257, 65535, 65535), { raw: { ...size, channels: 4 } })
          .toColourspace('rgb16')
          .png(),
      [30001, 257, 65535],
    ],
    [
      'grey.png',
      () =>
        sharp(filled(30001), { raw: { ...size, channels: 1 } })
          .toColourspace('grey16')
          .png(),
      [30001, 30001, 30001],
    ],
    [
      'grey.tif',
      () =>
        sharp(filled(30001), { raw: { ...size, channels: 1 } })
          .toColourspace('grey16')
          .tiff({ compression: 'lzw' }),
      [30001, 30001, 30001],
    ],
  ] as const)('%s keeps every code', async (name, encode, expected) => {
    writeFileSync(at(name), await encode().toBuffer());
    const source = await open(at(name));
    expect(source.info.bitDepth).toBe(16);
    const [frame] = await collect(source, one);
    if (frame?.kind !== 'frame') throw new Error('rejected');
    const { red, green, blue } = frame.regions[0]!;
    [red, green, blue].forEach((plane, c) => expect(plane[7]! * 65535).toBeCloseTo(expected[c]!, 1));
  });
});

describe('numbers that names skip', () => {
  const named = (numbers: readonly number[], digits = 4): Record<string, number> =>
    Object.fromEntries(numbers.map((number, i) => [`IMG_${String(number).padStart(digits, '0')}.jpg`, i]));
  const eleven = [1, 2, 3, 4, 5, 6, 10, 11, 12, 13, 14];

  it('are told where nothing but the count of pictures tells their times', async () => {
    const { codes, said } = await read(await series('skipped', named(eleven)));
    expect(codes).toEqual(['numbers-skipped']);
    expect(said).toMatch(/skip 3 numbers \(first after skipped\/IMG_0006\.jpg\).*starts_run_s/);
  });

  it('say nothing where every second picture was kept, where names are times of day, and beside a clock', async () => {
    const second = await read(await series('second', named(eleven.map((number) => 2 * number))));
    expect(second.codes).toEqual([]);
    // Every second, over the minute: 101557, 101558, 101559, 101600.
    const minute = [101_555, 101_556, 101_557, 101_558, 101_559, 101_600, 101_601];
    expect((await read(await series('minute', named(minute, 6)))).codes).toEqual([]);
    const clock = eleven.map((number) => `10:00:${String(number).padStart(2, '0')}`);
    const source = await open(await series('clocked', named(eleven), clock), { kind: 'interval', intervalS: 1 });
    expect(source.info.notes.map(({ code }) => code)).toEqual(['interval-disagrees']);
  });
});
