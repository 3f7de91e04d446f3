import { mkdirSync, truncateSync, writeFileSync } from 'node:fs';
import Color from 'colorjs.io';
import { PNG } from 'pngjs';
import sharp, { type Sharp } from 'sharp';
import { describe, expect, it } from 'vitest';
import { encodeJpeg, encodePng, type ExifFacts } from '../../src/frames/index.ts';
import { filesMatching } from '../../src/frames/stills/list-stills.ts';
import { collect, crops, film, height, means, open, picture, scratch, truth, width, worstError } from './media.ts';

const at = scratch();
const raw = (index: number): Sharp => sharp(picture(index).data, { raw: { width, height, channels: 3 } });

function folder(name: string, files: Readonly<Record<string, Uint8Array | string>>): string {
  mkdirSync(at(name));
  for (const [file, bytes] of Object.entries(files)) writeFileSync(at(`${name}/${file}`), bytes);
  return at(name);
}

async function series(
  name: string,
  encode: (index: number) => Promise<Uint8Array>,
  ending: string,
  count = 3,
): Promise<string> {
  const files: Record<string, Uint8Array> = {};
  for (let i = 0; i < count; i++) files[`shot ${i + 8}.${ending}`] = await encode(i);
  return folder(name, files);
}

describe('pictures of any format show the same colours', () => {
  it.each([
    // Tolerances in 8-bit codes of a region's mean: lossless exact, lossy by the coder's own loss at this quality.
    ['png', (i: number) => encodePng(picture(i)), 0.01],
    ['jpg', (i: number) => encodeJpeg(picture(i), { quality: 95 }), 1.5],
    ['webp', (i: number) => raw(i).webp({ quality: 98 }).toBuffer(), 3],
    ['avif', (i: number) => raw(i).avif({ quality: 95, effort: 1, chromaSubsampling: '4:4:4' }).toBuffer(), 2],
    ['tif', (i: number) => raw(i).tiff({ compression: 'lzw' }).toBuffer(), 0.01],
  ] as const)('%s', async (ending, encode, tolerance) => {
    const source = await open(await series(`as-${ending}`, encode, ending));
    expect(source.info).toMatchObject({ kind: 'stills', width, height, frameCount: 3, durationS: 40 });
    const frames = await collect(source);
    expect(frames.map((frame) => frame.file)).toEqual([8, 9, 10].map((n) => `as-${ending}/shot ${n}.${ending}`));
    expect(worstError(frames)).toBeLessThan(tolerance);
  });

  it('a film and the same frames as PNG agree', async () => {
    const [first] = await collect(await open(await film(at('same.mp4'), {}, 1)));
    const [still] = await collect(await open(at('as-png')));
    if (first?.kind !== 'frame' || still?.kind !== 'frame') throw new Error('rejected');
    expect(first.regions).toHaveLength(still.regions.length);
    first.regions.forEach((region, i) => {
      const other = means(still.regions[i]!);
      means(region).forEach((value, c) => expect(Math.abs(value - other[c]!)).toBeLessThan(2));
    });
  });

  it('PNG of 16 bit keeps 16 bit', async () => {
    const png = new PNG({ width: 40, height: 30, bitDepth: 16, colorType: 2, inputColorType: 2 });
    const data = new Uint16Array(40 * 30 * 3);
    for (let i = 0; i < data.length; i += 3) data.set([30001, 257, 65535], i);
    png.data = Buffer.from(data.buffer);
    const bytes = PNG.sync.write(png, { bitDepth: 16, colorType: 2, inputColorType: 2, inputHasAlpha: false });
    const source = await open(folder('deep', { 'a.png': bytes }));
    expect(source.info.bitDepth).toBe(16);
    const [frame] = await collect(source, [{ id: 'a', kind: 'vial', x: 3, y: 4, width: 5, height: 6 }]);
    if (frame?.kind !== 'frame') throw new Error('rejected');
    const region = frame.regions[0]!;
    expect(region.red[7]! * 65535).toBeCloseTo(30001, 1);
    expect(region.green[7]! * 65535).toBeCloseTo(257, 1);
    expect(region.blue[7]).toBe(1);
  });

  it.each([1, 2, 3, 4, 5, 6, 7, 8])('EXIF orientation %i gives the upright frame', async (orientation) => {
    // EXIF 2.32, tag 0112: which side of the picture the stored row 0 and column 0 are; [row, column] of the upright one.
    const upright = [
      (r: number, c: number) => [r, c], // 1: top, left
      (r: number, c: number) => [r, width - 1 - c], // 2: top, right
      (r: number, c: number) => [height - 1 - r, width - 1 - c], // 3: bottom, right
      (r: number, c: number) => [height - 1 - r, c], // 4: bottom, left
      (r: number, c: number) => [c, r], // 5: left, top
      (r: number, c: number) => [c, width - 1 - r], // 6: right, top
      (r: number, c: number) => [height - 1 - c, width - 1 - r], // 7: right, bottom
      (r: number, c: number) => [height - 1 - c, r], // 8: left, bottom
    ][orientation - 1]! as (r: number, c: number) => [number, number];
    const [storedWidth, storedHeight] = orientation >= 5 ? [height, width] : [width, height];
    const source0 = picture(0).data;
    const data = new Uint8Array(source0.length);
    for (let r = 0; r < storedHeight; r++) {
      for (let c = 0; c < storedWidth; c++) {
        const [row, column] = upright(r, c);
        const from = 3 * (row * width + column);
        data.set(source0.subarray(from, from + 3), 3 * (r * storedWidth + c));
      }
    }
    const image = { width: storedWidth, height: storedHeight, data };
    const bytes = await encodeJpeg(image, { quality: 95, exif: { orientation } });
    const source = await open(folder(`turned-${orientation}`, { 'a.jpg': bytes }));
    expect([source.info.width, source.info.height]).toEqual([width, height]);
    expect(worstError(await collect(source))).toBeLessThan(1.5);
    // Pooled regions are read from a picture decoded at half its size, the anchor beside them at two pixels a sample.
    const even = crops.map((crop) => ({
      ...crop,
      x: crop.x + (crop.x % 2),
      y: crop.y + (crop.y % 2),
      width: 8,
      height: 8,
    }));
    const anchor = { ...even[0]!, id: 'anchor', kind: 'anchor' as const };
    const halved = await collect(source, [...even.map((crop) => ({ ...crop, pooling: 4 as const })), anchor]);
    if (halved[0]?.kind !== 'frame') throw new Error('rejected');
    const { regions } = halved[0];
    expect(regions.map(({ pixelsPerSample }) => pixelsPerSample)).toEqual([...crops.map(() => 4), 2]);
    expect(worstError([{ ...halved[0], regions: regions.slice(0, -1) }])).toBeLessThan(2);
    expect((await source.still(0)).image.width).toBe(width);
  });
});

describe('colour profiles', () => {
  // Compared in linear light to 0.003: the profile at hand rounds its own primaries (Z of red 0 instead of -0.001).
  const linear = (encoded: number): number => new Color('srgb', [encoded, 0, 0]).to('srgb-linear').coords[0]!;

  it('Display P3 is converted without cutting off what sRGB cannot show', async () => {
    const p3 = [250, 120, 10] as const;
    const pixels = new Uint8Array(32 * 32 * 3);
    for (let i = 0; i < pixels.length; i += 3) pixels.set(p3, i);
    // keepIccProfile of a picture tagged, not converted: sharp's own P3 profile is taken from a converted picture.
    const tagged = await sharp(pixels, { raw: { width: 32, height: 32, channels: 3 } })
      .withIccProfile('p3')
      .png()
      .toBuffer();
    const stored = await sharp(tagged, { ignoreIcc: true }).raw().toBuffer();
    const expected = new Color('p3', [stored[0]! / 255, stored[1]! / 255, stored[2]! / 255]).to('srgb').coords;
    const strong = new Color('p3', [1, 0.2, 0.1]).to('srgb').coords;
    expect(strong[0]).toBeGreaterThan(1.05); // The case exists: outside sRGB.
    const source = await open(folder('p3', { 'a.png': tagged }));
    expect(source.info.notes.map((note) => note.code)).toEqual(['profile-converted']);
    const [frame] = await collect(source, [{ id: 'a', kind: 'vial', x: 3, y: 4, width: 5, height: 6 }]);
    if (frame?.kind !== 'frame') throw new Error('rejected');
    const region = frame.regions[0]!;
    [region.red, region.green, region.blue].forEach((plane, c) =>
      expect(linear(plane[3]!)).toBeCloseTo(linear(expected[c]!), 2.5),
    );
  });

  it('a colour outside sRGB leaves beyond 0..1', async () => {
    const { parseIcc } = await import('../../src/frames/stills/icc-profile.ts');
    const { convertRow, profileConversion } = await import('../../src/frames/stills/to-srgb.ts');
    const tagged = await raw(0).withIccProfile('p3').png().toBuffer();
    const profile = parseIcc((await sharp(tagged).metadata()).icc!)!;
    const planes = { red: new Float32Array(1), green: new Float32Array(1), blue: new Float32Array(1) };
    convertRow(profileConversion(profile, 255)!, Uint8Array.of(255, 51, 26), 0, 1, planes, 0);
    const expected = new Color('p3', [1, 51 / 255, 26 / 255]).to('srgb').coords;
    expect(planes.red[0]).toBeGreaterThan(1.05);
    [planes.red, planes.green, planes.blue].forEach((plane, c) =>
      expect(linear(plane[0]!)).toBeCloseTo(linear(expected[c]!), 2.2),
    );
  });

  it('an sRGB profile changes nothing', async () => {
    const tagged = await raw(0).withIccProfile('srgb').png().toBuffer();
    expect((await sharp(tagged).metadata()).icc).toBeDefined();
    const source = await open(folder('srgb', { 'a.png': tagged }));
    expect(source.info.notes).toEqual([]);
    expect(worstError(await collect(source))).toBeLessThan(0.01);
  });

  it('a profile cut short is said, not believed', async () => {
    const { parseIcc } = await import('../../src/frames/stills/icc-profile.ts');
    const icc = (await sharp(await raw(0).withIccProfile('p3').png().toBuffer()).metadata()).icc!;
    expect(parseIcc(icc)).not.toBeNull();
    expect(parseIcc(new Uint8Array(icc.subarray(0, 200)))).toBeNull();
    expect(parseIcc(new Uint8Array(0))).toBeNull();
  });
});

describe('what is wrong in a folder', () => {
  const jpeg = (facts: ExifFacts = {}, index = 0): Promise<Uint8Array> =>
    encodeJpeg(picture(index), { quality: 90, exif: facts });

  it('empty and broken files among good ones are rejected by name, the rest goes on', async () => {
    const whole = await jpeg();
    const dir = folder('some-bad', {
      '1.jpg': whole,
      '2.jpg': '',
      '3.jpg': 'not a picture',
      '4.jpg': whole,
      '5.jpg': whole,
    });
    truncateSync(at('some-bad/4.jpg'), Math.floor(whole.length / 2));
    const frames = await collect(await open(dir));
    expect(frames.map((frame) => [frame.kind, frame.index, frame.timeRunS, frame.file])).toEqual([
      ['frame', 0, 0, 'some-bad/1.jpg'],
      ['rejected', 1, 20, 'some-bad/2.jpg'],
      ['rejected', 2, 40, 'some-bad/3.jpg'],
      ['rejected', 3, 60, 'some-bad/4.jpg'],
      ['frame', 4, 80, 'some-bad/5.jpg'],
    ]);
    expect(frames[1]).toMatchObject({ reason: 'the file is empty (0 bytes)' });
  });

  it('nothing readable is an error', async () => {
    await expect(open(folder('all-bad', { '1.jpg': '', '2.jpg': 'x' }))).rejects.toMatchObject({
      code: 'no-readable-picture',
    });
  });

  it('sizes must agree; the odd one is named', async () => {
    const small = await encodePng({ width: 10, height: 10, data: new Uint8Array(300) });
    const dir = folder('mixed', { 'a.png': await encodePng(picture(0)), 'b.png': small });
    await expect(open(dir)).rejects.toMatchObject({
      code: 'mixed-sizes',
      message: expect.stringMatching(/mixed\/b\.png/),
    });
  });

  it('CMYK is refused by name', async () => {
    const dir = folder('cmyk', { 'a.jpg': await raw(0).toColourspace('cmyk').jpeg().toBuffer() });
    await expect(open(dir)).rejects.toThrow(/CMYK/);
  });

  it('a glance at a long series takes pictures evenly', async () => {
    const bytes = await encodePng({ width: 8, height: 8, data: new Uint8Array(192) });
    const dir = folder('long', Object.fromEntries(Array.from({ length: 130 }, (_, i) => [`${i}.png`, bytes])));
    const small = [{ id: 'a', kind: 'vial' as const, x: 1, y: 1, width: 4, height: 4 }];
    const frames = await collect(await open(dir, undefined, { glance: true }), small);
    expect(frames.map((frame) => frame.index).slice(0, 3)).toEqual([0, 3, 6]);
    expect(frames.length).toBe(44);
  });

  it('patterns find files in natural order', async () => {
    const found = await filesMatching(at('*bad/?.jpg'));
    expect(found.map((file) => file.slice(at('.').length + 1))).toEqual(
      expect.arrayContaining(['all-bad/1.jpg', 'some-bad/5.jpg']),
    );
    expect((await filesMatching(at('**/shot 1*.png'))).length).toBe(1);
    expect(truth('orange', 3)).toEqual([226, 128, 20]);
  });
});
