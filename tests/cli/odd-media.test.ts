import { mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { crc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { encodeJpeg, encodePng, encodeVideo } from '../../src/frames/index.ts';
import type { Result } from '../../src/model/result.ts';
import { bench, frame, picture, vialapse, writeRunFile, writeStills } from './bench.ts';

const root = bench();
let count = 0;
function folder(): string {
  const made = path.join(root, String(++count));
  mkdirSync(made);
  return made;
}
const words = (text: string): string => text.replaceAll(/\s+/g, ' ');

async function film(file: string, frames: number, keyFrameEvery = 12): Promise<void> {
  const pictures = Array.from({ length: frames }, (_, index) => picture(1 - Math.exp(-index / 4), index));
  await encodeVideo({ file, ...frame, framesPerSecond: 10, keyFrameEvery }, pictures);
}

async function analysed(run: string, ...more: readonly string[]): Promise<Result> {
  const { code, out, err } = await vialapse('analyse', run, '--json', ...more);
  expect([0, 3], err).toContain(code);
  return JSON.parse(out) as Result;
}

describe('a card that was full', () => {
  it('its last stills, half written, padded or empty, are named; the others are read', async () => {
    const at = folder();
    const source = await writeStills(at, 16);
    const still = (index: number): string => path.join(at, source, `0${index}.jpg`);
    const half = (index: number): Buffer => {
      const bytes = readFileSync(still(index));
      return bytes.subarray(0, bytes.length >> 1);
    };
    writeFileSync(still(13), half(13));
    // Room that the camera had reserved: a decoder makes grey of it and says nothing where regions lie above.
    writeFileSync(still(14), Buffer.concat([half(14), Buffer.alloc(8192)]));
    writeFileSync(still(15), '');
    const run = writeRunFile(at, { source });
    const { frames } = (await analysed(run)).run;
    expect(frames.used).toBe(13);
    expect(frames.rejected.map(({ index }) => index)).toEqual([13, 14, 15]);
    expect(frames.rejected[0]!.reason).toMatch(/013\.jpg: damaged picture/);
    expect(frames.rejected[1]!.reason).toMatch(/014\.jpg: written only in part .*its end is empty/);
    expect(frames.rejected[2]!.reason).toMatch(/015\.jpg: the file is empty/);
    const { code, err } = await vialapse('preview', run);
    expect(code).toBe(0);
    expect(words(err)).toMatch(/frame 14 \(from 14 min\): stills\/014\.jpg: written only in part/);
  });

  it('zeros behind the end of a whole JPEG spoil nothing', async () => {
    const at = folder();
    const source = await writeStills(at, 8);
    const last = path.join(at, source, '007.jpg');
    writeFileSync(last, Buffer.concat([readFileSync(last), Buffer.alloc(70_000)]));
    expect((await analysed(writeRunFile(at, { source }))).run.frames.rejected).toEqual([]);
  });

  it('a film that ends in the middle of a frame is read up to there, and preview says so', async () => {
    const at = folder();
    await film(path.join(at, 'film.mkv'), 40);
    truncateSync(path.join(at, 'film.mkv'), Math.floor(0.8 * readFileSync(path.join(at, 'film.mkv')).length));
    const run = writeRunFile(at, { source: 'film.mkv' });
    const result = await analysed(run);
    expect(result.run.frames.used).toBeGreaterThan(20);
    expect(result.run.frames.used).toBeLessThan(38);
    expect(result.checks).toContainEqual(expect.objectContaining({ code: 'video-breaks-off', status: 'warn' }));
    expect(words((await vialapse('preview', run)).err)).toMatch(/doubtful: film\.mkv: the film breaks off/);
  });
});

describe('media that claim 60,000 x 60,000 pixels', () => {
  const claimed = 60_000;
  const png = async (): Promise<Buffer> => {
    const bytes = Buffer.from(await encodePng(picture(0)));
    bytes.writeUInt32BE(claimed, 16);
    bytes.writeUInt32BE(claimed, 20);
    bytes.writeUInt32BE(crc32(bytes.subarray(12, 29)), 29);
    return bytes;
  };
  /** Height and width stand five bytes behind the frame header's mark (ITU-T T.81, B.2.2). */
  const claim = (bytes: Buffer): Buffer => {
    const mark = Buffer.from([0xff, 0xc0, 0x00, 0x11]);
    for (let at = bytes.indexOf(mark); at >= 0; at = bytes.indexOf(mark, at + 4)) {
      bytes.writeUInt16BE(claimed, at + 5);
      bytes.writeUInt16BE(claimed, at + 7);
    }
    return bytes;
  };

  it.each(['png', 'jpg', 'avi'])('%s: one message, and no memory is taken for them', async (ending) => {
    const at = folder();
    const source = ending === 'avi' ? 'film.avi' : 'stills';
    if (ending === 'avi') {
      const file = path.join(at, source);
      await encodeVideo({ file, ...frame, framesPerSecond: 10, codec: 'mjpeg' }, [picture(0), picture(1)]);
      const bytes = claim(readFileSync(file));
      // BITMAPINFOHEADER: width and height behind the chunk's name, its length and the header's own.
      const format = bytes.indexOf('strf') + 12;
      bytes.writeInt32LE(claimed, format);
      bytes.writeInt32LE(claimed, format + 4);
      writeFileSync(file, bytes);
    } else {
      mkdirSync(path.join(at, source));
      const bytes = ending === 'png' ? await png() : claim(Buffer.from(await encodeJpeg(picture(0), { quality: 90 })));
      for (const index of [0, 1, 2]) writeFileSync(path.join(at, source, `${index}.${ending}`), bytes);
    }
    const run = writeRunFile(at, { source });
    const before = process.resourceUsage().maxRSS;
    for (const verb of ['preview', 'analyse']) {
      const { code, err } = await vialapse(verb, run);
      expect(code, verb).toBe(2);
      expect(words(err)).toMatch(
        /(claims more pixels than any camera|claims pictures of 60000 x 60000 pixels).*to do:/,
      );
    }
    // Decoded, one of them would take 10 GB.
    expect(process.resourceUsage().maxRSS - before).toBeLessThan(500_000);
  });
});

describe('a glance', () => {
  it('says that it is one, and at few key frames that nothing can be concluded from it', async () => {
    const at = folder();
    await film(path.join(at, 'few.mp4'), 30, 10);
    const few = writeRunFile(at, { source: 'few.mp4' });
    const { err } = await vialapse('analyse', few, '--glance', '--out', path.join(at, 'few'));
    expect(words(err)).toMatch(/This glance saw 3 frames only: analyse without --glance before concluding/);
    const told = await analysed(few, '--glance', '--out', path.join(at, 'again'));
    expect(told.run).toMatchObject({ glance: true, frames: { read: 3 } });
    expect(told.run.assumptions.join(' ')).toMatch(/a glance at 3 of 30 frames.*too few to follow a reaction/);
    const { out } = await vialapse('analyse', few, '--out', path.join(at, 'whole'), '--json');
    expect(JSON.parse(out)).toMatchObject({ run: { glance: false, frames: { read: 30 } } });
  });
});

describe('the preview of pictures whose camera', () => {
  it.each([
    ['changed its exposure', 1 / 80, /doubtful: The camera changed its exposure time once/],
    ['did not', 1 / 50, null],
  ])('%s', async (_, later, said) => {
    const at = folder();
    mkdirSync(path.join(at, 'stills'));
    for (let index = 0; index < 8; index++) {
      const exif = { exposureTimeS: index < 4 ? 1 / 50 : later };
      const jpeg = await encodeJpeg(picture(index / 8, index), { quality: 90, exif });
      writeFileSync(path.join(at, 'stills', `${index}.jpg`), jpeg);
    }
    const { code, err } = await vialapse('preview', writeRunFile(at, { source: 'stills' }));
    expect(code).toBe(0);
    if (said === null) expect(words(err)).not.toMatch(/exposure time/);
    else expect(words(err)).toMatch(said);
  });
});

describe('the preview of small frames', () => {
  it('is drawn large enough to be read', async () => {
    const at = folder();
    const run = writeRunFile(at, { source: await writeStills(at, 6) });
    const out = path.join(at, 'regions.png');
    expect((await vialapse('preview', run, '--out', out)).code).toBe(0);
    // A PNG's width and height (RFC 2083, 4.1.1).
    const png = readFileSync(out);
    expect(png.readUInt32BE(16)).toBe(640);
    expect(png.readUInt32BE(20)).toBeGreaterThan((640 * frame.height) / frame.width);
  });
});
