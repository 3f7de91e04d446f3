import { copyFileSync, mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { MachineError, UserError } from '../../src/errors.ts';
import { collect, crops, ffmpeg, film, open, scratch } from './media.ts';

const at = scratch();

async function refusal(file: string): Promise<UserError> {
  try {
    await collect(await open(file));
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  throw new Error('it was read');
}

beforeAll(() => film(at('whole.mp4'), {}, 30));

describe('a film that cannot be read is one clear message', () => {
  it('missing', async () => {
    expect((await refusal(at('none.mp4'))).message).toMatch(/none\.mp4: the source does not exist[^]*to do:/);
  });

  it('empty', async () => {
    writeFileSync(at('empty.mp4'), '');
    expect((await refusal(at('empty.mp4'))).code).toBe('source-empty');
  });

  it('without its index after a power cut, and no other film beside it', async () => {
    mkdirSync(at('alone'));
    await film(at('alone/cut.mp4'), {}, 30);
    truncateSync(at('alone/cut.mp4'), Math.floor(readFileSync(at('alone/cut.mp4')).length * 0.6));
    const error = await refusal(at('alone/cut.mp4'));
    expect(error.code).toBe('video-index-missing');
    expect(error.message).toMatch(/power cut[^]*index is missing[^]*no intact film[^]*to do:/);
  });

  it('random bytes', async () => {
    writeFileSync(
      at('noise.mp4'),
      Buffer.from(Array.from({ length: 5000 }, (_, i) => (i * 7919 + (i >> 3) * 31) & 255)),
    );
    expect((await refusal(at('noise.mp4'))).code).toBe('video-unreadable');
  });

  it('sound only', async () => {
    await ffmpeg('-f', 'lavfi', '-i', 'sine=duration=0.2', at('sound.mp4'));
    expect((await refusal(at('sound.mp4'))).code).toBe('video-no-picture');
  });

  it('with 256 colours at most', async () => {
    await ffmpeg('-i', at('whole.mp4'), at('film.gif'));
    const error = await refusal(at('film.gif'));
    expect(error.code).toBe('video-palette');
    expect(error.message).toMatch(/256 colours[^]*to do:/);
  });

  it('pictures that all have one thing wrong, in one sentence', async () => {
    mkdirSync(at('printed'));
    for (const index of [0, 1, 2])
      await sharp({ create: { width: 32, height: 32, channels: 3, background: '#c80' } })
        .toColourspace('cmyk')
        .jpeg()
        .toFile(at(`printed/${index}.jpg`));
    const { details } = await refusal(at('printed'));
    expect(details.message).toBe('none of the 3 pictures can be used');
    expect(details.got).toMatch(/0\.jpg and 2 more: a CMYK picture/);
  });

  it('a folder without pictures', async () => {
    mkdirSync(at('folder'));
    writeFileSync(at('folder/readme.txt'), 'x');
    expect((await refusal(at('folder'))).code).toBe('no-pictures');
  });

  it('a region outside the frame', async () => {
    const source = await open(at('whole.mp4'));
    await expect(collect(source, [{ ...crops[0]!, x: 180 }])).rejects.toMatchObject({ code: 'crop-outside' });
  });

  it('film of different sizes', async () => {
    await ffmpeg('-f', 'lavfi', '-i', 'testsrc=size=64x64:duration=0.2', at('small.mp4'));
    await expect(open([at('whole.mp4'), at('small.mp4')])).rejects.toMatchObject({ code: 'mixed-sizes' });
  });

  it('timing that a film cannot have', async () => {
    await expect(open(at('whole.mp4'), { kind: 'clock-exif', readings: [] })).rejects.toMatchObject({
      code: 'timing-kind',
    });
  });
});

describe('a film that breaks off or is damaged', () => {
  it('gives the frames up to there, and says so', async () => {
    await ffmpeg('-i', at('whole.mp4'), '-c', 'copy', '-movflags', '+faststart', at('front.mp4'));
    const size = readFileSync(at('front.mp4')).length;
    copyFileSync(at('front.mp4'), at('broken.mp4'));
    truncateSync(at('broken.mp4'), Math.floor(size * 0.85));
    const source = await open(at('broken.mp4'));
    expect(source.info.notes.map((note) => note.code)).toContain('video-breaks-off');
    const frames = await collect(source);
    const good = frames.filter((frame) => frame.kind === 'frame');
    expect(good.length).toBeGreaterThan(5);
    expect(good.length).toBeLessThan(30);
    expect(good.map((frame) => frame.index)).toEqual(good.map((_, i) => i));
  });

  it('reads an unfinished Matroska film as far as it goes', async () => {
    await film(at('whole.mkv'), {}, 30);
    copyFileSync(at('whole.mkv'), at('cut.mkv'));
    truncateSync(at('cut.mkv'), Math.floor(readFileSync(at('whole.mkv')).length * 0.8));
    const frames = await collect(await open(at('cut.mkv'), { kind: 'speed', speed: 1 }));
    const good = frames.filter((frame) => frame.kind === 'frame');
    expect(good.length).toBeGreaterThan(5);
    // Where a packet is lost its time stays empty: frames keep their own tenths of a second.
    const tenths = good.map((frame) => 10 * frame.timeRunS!);
    tenths.forEach((time, i) => expect(Math.abs(time - Math.round(time)), `${i}`).toBeLessThan(0.02));
    expect(tenths).toEqual([...tenths].sort((a, b) => a - b));
  });

  it('rejects frames that the decoder had to guess, and goes on after them', async () => {
    await film(at('sound.mp4'), { keyFrameEvery: 10, crf: 1 }, 40);
    const bytes = readFileSync(at('sound.mp4'));
    // A stretch of the second group's pixels is overwritten; the index and the sizes of packets stay whole.
    const start = bytes.indexOf('mdat') + Math.floor(0.36 * (bytes.indexOf('moov') - bytes.indexOf('mdat')));
    bytes.fill(0x55, start, start + 60);
    writeFileSync(at('scratched.mp4'), bytes);
    const frames = await collect(await open(at('scratched.mp4'), { kind: 'speed', speed: 1 }));
    const rejected = frames.filter((frame) => frame.kind === 'rejected');
    expect(rejected.length).toBeGreaterThan(0);
    expect(frames.filter((frame) => frame.kind === 'frame').length).toBeGreaterThan(20);
    expect(frames.at(-1)).toMatchObject({ kind: 'frame', index: 39 });
  });

  it('leaves frames out where the film changes its picture size, and says so', async () => {
    const sized = async (name: string, size: string) =>
      ffmpeg('-i', at('whole.mp4'), '-vf', `scale=${size}`, '-c:v', 'libx264', '-crf', '8', at(name));
    await sized('large.ts', '192:108');
    await sized('less.ts', '160:90');
    await sized('more.ts', '384:216');
    for (const second of ['less.ts', 'more.ts']) {
      writeFileSync(at('joined.ts'), Buffer.concat([readFileSync(at('large.ts')), readFileSync(at(second))]));
      const frames = await collect(await open(at('joined.ts')));
      expect(frames.length).toBeGreaterThan(50);
      const good = frames.filter((frame) => frame.kind === 'frame');
      expect(good.map(({ index }) => index)).toEqual(Array.from({ length: 30 }, (_, i) => i));
      const reasons = new Set(frames.flatMap((frame) => (frame.kind === 'rejected' ? [frame.reason] : [])));
      expect([...reasons], second).toEqual(['the film changes its picture size here: regions would not fit']);
    }
  });

  it('reads one frame only', async () => {
    await film(at('single.mp4'), {}, 1);
    expect((await collect(await open(at('single.mp4')))).length).toBe(1);
  });
});

describe('file names are only names', () => {
  it.each(['-i', '%d.mp4', 'concat:a|b.mp4', 'http:\\x.mp4', 'a\nInput #0, b.mp4', "q'uo[te],;=.mp4"])(
    '%j',
    async (name) => {
      copyFileSync(at('single.mp4'), at(name));
      expect((await collect(await open(at(name)))).length).toBe(1);
    },
  );

  it('a play list inside a film name opens nothing else', async () => {
    writeFileSync(at('list.mp4'), `ffconcat version 1.0\nfile '${path.basename(at('single.mp4'))}'\n`);
    await expect(open(at('list.mp4'))).rejects.toBeInstanceOf(UserError);
    writeFileSync(at('list.m3u8'), `#EXTM3U\n#EXTINF:1,\nfile:${at('single.mp4')}\n#EXT-X-ENDLIST\n`);
    await expect(open(at('list.m3u8'))).rejects.toBeInstanceOf(UserError);
  });
});

describe('no ffmpeg', () => {
  it('is a fault of the machine, with what to do', async () => {
    const opening = open(at('single.mp4'), undefined, { ffmpegPath: at('nowhere/ffmpeg') });
    await expect(opening).rejects.toBeInstanceOf(MachineError);
    await expect(opening).rejects.toMatchObject({ code: 'ffmpeg-missing' });
  });
});
