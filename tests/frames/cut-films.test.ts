import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { encodeVideo, type VideoOptions } from '../../src/frames/index.ts';
import type { FramePixels, RgbImage } from '../../src/model/frame.ts';
import type { Timing } from '../../src/model/run.ts';
import { collect, ffmpeg, height, open, picture, scratch, width, worstError } from './media.ts';

const at = scratch();
const count = 40;
const interval: Timing = { kind: 'interval', intervalS: 20 };
const playback: Timing = { kind: 'speed', speed: 1 };

/** The test picture with a grain around the patches, so that frames are of some size; the patches tell the frame. */
function grained(index: number): RgbImage {
  const image = picture(index);
  let state = index + 1;
  for (let p = 0; p < image.data.length; p += 3) {
    if (image.data[p] !== 70 || image.data[p + 1] !== 70) continue;
    state = (Math.imul(state, 1_103_515_245) + 12_345) & 0x7fffffff;
    image.data.fill(60 + ((state >> 16) % 24), p, p + 3);
  }
  return image;
}

async function film(name: string, options: Partial<VideoOptions> = {}): Promise<void> {
  const base = { file: at(name), width, height, framesPerSecond: 10, crf: 8, keyFrameEvery: 10 };
  await encodeVideo(
    { ...base, ...options },
    Array.from({ length: count }, (_, i) => grained(i)),
  );
}

/** The film encoded anew by ffmpeg, for what encodeVideo does not do. */
const anew = (name: string, ...more: readonly string[]): Promise<void> =>
  ffmpeg('-i', at('untagged.mp4'), '-c:v', 'libx264', '-crf', '8', '-g', '10', ...more, at(name));

/** Cuts a file to a share of its bytes. */
function cut(name: string, to: string, share: number): void {
  const bytes = readFileSync(at(name));
  writeFileSync(at(to), bytes.subarray(0, Math.floor(share * bytes.length)));
}

/** An MP4 as a power cut leaves it: no index, the length of the pictures not filled in, the last of them cut. */
function withoutIndex(name: string, to: string, share: number, tail = Buffer.alloc(0)): void {
  const bytes = readFileSync(at(name));
  const kept: Buffer[] = [];
  for (let from = 0; from < bytes.length;) {
    const length = bytes.readUInt32BE(from);
    const box = Buffer.from(bytes.subarray(from, from + length));
    const type = box.toString('latin1', 4, 8);
    if (type === 'mdat') {
      box.writeUInt32BE(0, 0);
      kept.push(box.subarray(0, 8 + Math.floor(share * (length - 8))), tail);
      break;
    }
    if (type !== 'moov') kept.push(box);
    from += length;
  }
  writeFileSync(at(to), Buffer.concat(kept));
}

async function read(name: string, timing: Timing, anyOrder = false): Promise<readonly FramePixels[]> {
  return collect(await open(at(name), timing), undefined, anyOrder);
}

/** Used frames are in their own places, at their own times, and each shows what that frame showed. */
function expectTrue(frames: readonly FramePixels[], secondsApart: number): void {
  const used = frames.filter((frame) => frame.kind === 'frame');
  for (const { index, timeRunS } of used) expect(timeRunS!, `${index}`).toBeCloseTo(index * secondsApart, 1);
  expect(worstError(used)).toBeLessThan(2.5);
  // Without a hole before the end.
  expect(used.map(({ index }) => index).sort((a, b) => a - b)).toEqual(used.map((_, i) => i));
}

beforeAll(async () => {
  await film('whole.mp4');
  // For what ffmpeg encodes anew: the one of 2018 loses the tags.
  await film('untagged.mp4', { colourTags: 'none' });
});

describe('a film cut short is read to the cut, at true times, and said to break off', () => {
  const copied =
    (...more: readonly string[]) =>
    (name: string) =>
      ffmpeg('-i', at('whole.mp4'), '-c', 'copy', ...more, at(name));
  const encoded = (options: Partial<VideoOptions>) => (name: string) => film(name, options);
  const faststart = (options: Partial<VideoOptions>) => async (name: string) => {
    await film(`end-${name}`, options);
    await ffmpeg('-i', at(`end-${name}`), '-c', 'copy', '-movflags', '+faststart', at(name));
  };
  it.each([
    ['h264.ts', copied()],
    ['h264.m2ts', copied('-f', 'mpegts', '-mpegts_m2ts_mode', '1')],
    ['h264.mkv', copied()],
    ['vp9.webm', encoded({ codec: 'vp9' })],
    ['mjpeg.avi', encoded({ codec: 'mjpeg' })],
    ['h264.avi', (name: string) => anew(name, '-bf', '0')],
    ['fragments.mp4', copied('-movflags', '+frag_keyframe+empty_moov')],
    ['faststart.mp4', faststart({})],
    ['hevc.mp4', faststart({ codec: 'hevc' })],
    ['prores.mov', faststart({ codec: 'prores', colourTags: 'none' })],
    ['h264.flv', copied()],
  ])('%s', async (name, make) => {
    await make(name);
    const codes = async (file: string): Promise<readonly string[]> =>
      (await open(at(file), playback)).info.notes.map(({ code }) => code).filter((code) => code.startsWith('video-'));
    expect(await codes(name)).toEqual([]);
    for (const share of [0.71, 0.93]) {
      cut(name, `cut-${name}`, share);
      expect(await codes(`cut-${name}`), `${share}`).toEqual(['video-breaks-off']);
      const frames = await read(`cut-${name}`, playback);
      const used = frames.filter((frame) => frame.kind === 'frame');
      expect(used.length, `${share}`).toBeGreaterThan(0.5 * share * count);
      expect(used.length, `${share}`).toBeLessThan(count - 1);
      expectTrue(frames, 0.1);
      expectTrue(await read(`cut-${name}`, interval), 20);
    }
  });
});

describe('so is one whose container tells no lengths or no times', () => {
  const copied =
    (from: string, ...more: readonly string[]) =>
    (name: string) =>
      ffmpeg('-i', at(from), '-c', 'copy', ...more, at(name));
  const encoded =
    (...more: readonly string[]) =>
    (name: string) =>
      // MPEG-2 knows no ten pictures a second.
      ffmpeg('-i', at('untagged.mp4'), '-vf', 'setpts=N/(25*TB)', '-r', '25', '-g', '10', ...more, at(name));
  const mpeg2 = encoded('-c:v', 'mpeg2video', '-q:v', '1', '-qmin', '1', '-dc', '10', '-bf', '2');
  beforeAll(() => film('hevc-closed.mp4', { codec: 'hevc' }));
  it.each<[name: string, make: (name: string) => Promise<void>]>([
    ['mpeg2.mpg', mpeg2],
    ['mpeg2.vob', mpeg2],
    ['mpeg2.m2v', mpeg2],
    ['mpeg2.mxf', encoded('-c:v', 'mpeg2video', '-q:v', '1', '-qmin', '1', '-dc', '10')],
    ['bare.h264', copied('whole.mp4', '-bsf:v', 'h264_mp4toannexb')],
    ['bare.hevc', copied('hevc-closed.mp4', '-bsf:v', 'hevc_mp4toannexb')],
    ['closed.ts', copied('hevc-closed.mp4')],
    // Groups that lean on the one before, as the coder makes them by itself.
    ['open.ts', encoded('-c:v', 'libx265', '-x265-params', 'log-level=error:keyint=10', '-crf', '8')],
  ])('%s', async (name, make) => {
    await make(name);
    const codes = async (file: string): Promise<readonly string[]> =>
      (await open(at(file), interval)).info.notes.map(({ code }) => code).filter((code) => code.startsWith('video-'));
    expect(await codes(name)).toEqual([]);
    expectTrue(await read(name, interval), 20);
    for (const share of [0.53, 0.71, 0.83, 0.93]) {
      cut(name, `cut-${name}`, share);
      expect(await codes(`cut-${name}`), `${share}`).toEqual(['video-breaks-off']);
      const frames = await read(`cut-${name}`, interval);
      const used = frames.filter((frame) => frame.kind === 'frame').length;
      expect(used, `${share}`).toBeGreaterThan(0.5 * share * count);
      expect(used, `${share}`).toBeLessThan(count - 1);
      expectTrue(frames, 20);
    }
  });

  it.each([
    ['tape.dv', ['-s', '720x576', '-pix_fmt', 'yuv420p', '-c:v', 'dvvideo']],
    ['film.ogv', ['-c:v', 'libtheora', '-q:v', '8']],
  ])('%s, in which half a picture is none', async (name, coder) => {
    await ffmpeg('-f', 'lavfi', '-i', 'testsrc=size=320x180:rate=25:duration=1', ...coder, at(name));
    cut(name, `cut-${name}`, 0.63);
    const codes = async (file: string): Promise<readonly string[]> =>
      (await open(at(file), interval)).info.notes.map(({ code }) => code).filter((code) => code.startsWith('video-'));
    expect(await codes(name)).toEqual([]);
    expect(await codes(`cut-${name}`)).toEqual(['video-breaks-off']);
    const small = [{ id: 'corner', kind: 'vial' as const, x: 0, y: 0, width: 64, height: 64 }];
    const whole = await collect(await open(at(name), interval), small);
    const frames = await collect(await open(at(`cut-${name}`), interval), small);
    expect(frames.length).toBeGreaterThan(8);
    expect(frames).toEqual(whole.slice(0, frames.length));
  });
});

it('a film trimmed without encoding it anew does not break off', async () => {
  // Its index promises what was trimmed off, and an edit list hides it.
  await ffmpeg('-ss', '1.5', '-i', at('whole.mp4'), '-c', 'copy', at('trimmed.mp4'));
  const source = await open(at('trimmed.mp4'), interval);
  expect(source.info.notes).toEqual([]);
  const frames = await collect(source);
  expect(frames.length).toBeLessThan(count - 10);
  expect(frames.every((frame) => frame.kind === 'frame')).toBe(true);
});

describe('an MP4 without its index', () => {
  /** A film alone in a folder, or with another one beside it that is not part of the run. */
  function placed(name: string, lender: string | null): string {
    const folder = at(`folder-${++folders}`);
    mkdirSync(folder);
    copyFileSync(at(name), path.join(folder, name));
    if (lender !== null) copyFileSync(at(lender), path.join(folder, `a-${lender}`));
    return path.join(folder, name);
  }
  let folders = 0;

  it.each([
    ['H.264 with reordered pictures', 'whole.mp4', (name: string) => film(name)],
    ['H.264 in four slices', 'slices.mp4', (name: string) => anew(name, '-x264-params', 'slices=4')],
    ['HEVC', 'hevc.mp4', (name: string) => film(name, { codec: 'hevc' })],
    ['HEVC of 10 bit', 'ten.mp4', (name: string) => film(name, { codec: 'hevc', pixelFormat: 'yuv420p10le' })],
  ])('is read with the settings of an intact film beside it: %s', async (_, name, make) => {
    await make(name);
    const cutName = `cut-${name}`;
    withoutIndex(name, cutName, 0.8);
    const source = await open(placed(cutName, name), interval);
    const [note] = source.info.notes.filter(({ code }) => code === 'video-breaks-off');
    expect(note?.message).toMatch(/never finished.*index is missing.*pictures were found.*taken from/);
    const frames = await collect(source);
    expectTrue(frames, 20);
    const used = frames.filter((frame) => frame.kind === 'frame').length;
    expect(used).toBeGreaterThan(20);
    expect(used).toBeLessThan(36);
    expect(source.info.frameCount).toBe(used);
  });

  describe('whose pictures stand for themselves', () => {
    const sound = ['-f', 'lavfi', '-i', 'anoisesrc=duration=4', '-c:a', 'pcm_s16le'];
    it.each<[name: string, coder: readonly string[]]>([
      ['prores.mov', ['-c:v', 'prores_ks', '-pix_fmt', 'yuv422p10le']],
      ['prores-4444.mov', ['-c:v', 'prores_ks', '-pix_fmt', 'yuv444p10le']],
      ['mjpeg.mov', ['-c:v', 'mjpeg', '-q:v', '2', '-pix_fmt', 'yuvj420p']],
      ['mjpeg.mp4', ['-c:v', 'mjpeg', '-q:v', '2', '-pix_fmt', 'yuvj420p']],
    ])('is read without help, sound between them or not, pixel by pixel: %s', async (name, coder) => {
      for (const more of name.endsWith('.mov') ? [[], sound] : [[]]) {
        await ffmpeg('-i', at('untagged.mp4'), ...more, ...coder, at(name));
        withoutIndex(name, `cut-${name}`, 0.8);
        const alone = placed(`cut-${name}`, null);
        const source = await open(alone, interval);
        const [note] = source.info.notes.filter(({ code }) => code === 'video-breaks-off');
        expect(note?.message).toMatch(/never finished.*pictures were found.*which way up it was filmed is not known/i);
        const frames = await collect(source);
        expect(frames.length).toBe(source.info.frameCount);
        expect(frames.length).toBeGreaterThan(0.7 * count);
        expect(frames.length).toBeLessThan(0.9 * count);
        expect(frames).toEqual((await read(name, interval)).slice(0, frames.length));
        await expect(open(alone, playback)).rejects.toMatchObject({ code: 'video-rate-unknown' });
      }
    });

    it('takes rate and turn of a film of its kind and size beside it', async () => {
      await ffmpeg('-i', at('mjpeg.mov'), '-c', 'copy', '-an', '-metadata:s:v:0', 'rotate=90', at('turned.mov'));
      withoutIndex('turned.mov', 'cut-turned.mov', 0.8);
      const source = await open(placed('cut-turned.mov', 'turned.mov'), { kind: 'speed', speed: 600 });
      expect([source.info.width, source.info.height]).toEqual([height, width]);
      expect(source.info.durationS).toBeCloseTo(60 * (source.info.frameCount! - 1), 3);
      // Of another kind: no help.
      await expect(open(placed('cut-turned.mov', 'prores.mov'), playback)).rejects.toMatchObject({
        code: 'video-rate-unknown',
      });
    });

    it('of a kind that we do not find is one message', async () => {
      await ffmpeg('-i', at('untagged.mp4'), '-c:v', 'mpeg4', '-q:v', '2', at('part-two.mp4'));
      withoutIndex('part-two.mp4', 'cut-part-two.mp4', 0.8);
      const opening = open(placed('cut-part-two.mp4', 'part-two.mp4'));
      await expect(opening).rejects.toMatchObject({ code: 'video-index-missing' });
      await expect(opening).rejects.toThrow(/to do: [^]*H\.264 or HEVC/);
    });
  });

  it('gives the very pixels of the intact film', async () => {
    const whole = await read('whole.mp4', interval);
    const salvaged = await collect(await open(placed('cut-whole.mp4', 'whole.mp4'), interval), undefined, true);
    const sorted = [...salvaged].sort((a, b) => a.index - b.index);
    expect(sorted).toEqual(whole.slice(0, sorted.length));
  });

  it('is read among sound, whose bytes are no pictures', async () => {
    await ffmpeg(
      '-i',
      at('whole.mp4'),
      '-f',
      'lavfi',
      '-i',
      'anoisesrc=duration=4',
      '-c:v',
      'copy',
      '-b:a',
      '256k',
      at('sound.mp4'),
    );
    withoutIndex('sound.mp4', 'cut-sound.mp4', 0.8);
    const frames = await collect(await open(placed('cut-sound.mp4', 'sound.mp4'), interval));
    expectTrue(frames, 20);
    expect(frames.length).toBeGreaterThan(20);
  });

  it('is read without help when the camera repeats its settings among the pictures', async () => {
    await anew('repeats.mp4', '-bsf:v', 'dump_extra=freq=keyframe');
    withoutIndex('repeats.mp4', 'cut-repeats.mp4', 0.8);
    const alone = placed('cut-repeats.mp4', null);
    const source = await open(alone, interval);
    expectTrue(await collect(source), 20);
    expect(source.info.notes.map(({ message }) => message).join()).toMatch(/which way up it was filmed is not known/i);
    await expect(open(alone, playback)).rejects.toMatchObject({ code: 'video-rate-unknown' });
  });

  it('ends where the camera had only reserved room on the card', async () => {
    withoutIndex('whole.mp4', 'reserved.mp4', 0.8, Buffer.alloc(300_000));
    const frames = await collect(await open(placed('reserved.mp4', 'whole.mp4'), interval));
    expectTrue(frames, 20);
    expect(frames.length).toBeGreaterThan(20);
  });

  it('takes the rate and the turn of the film beside it', async () => {
    await ffmpeg('-i', at('whole.mp4'), '-c', 'copy', '-metadata:s:v:0', 'rotate=90', at('turned.mp4'));
    withoutIndex('turned.mp4', 'cut-turned.mp4', 0.8);
    const source = await open(placed('cut-turned.mp4', 'turned.mp4'), { kind: 'speed', speed: 600 });
    expect([source.info.width, source.info.height]).toEqual([height, width]);
    expect(source.info.durationS).toBeCloseTo(60 * (source.info.frameCount! - 1), 3);
  });

  it('is part of a run with other files, which may lend theirs; inputs name the lender', async () => {
    const source = await open([at('whole.mp4'), at('cut-whole.mp4')], interval);
    expectTrue((await collect(source)).slice(0, count), 20);
    expect(source.info.frameCount).toBeGreaterThan(count + 20);
    expect(source.info.inputs.map(({ path }) => path)).toEqual(['whole.mp4', 'cut-whole.mp4']);
  });

  it('is one message when nothing beside it fits, and when nothing is beside it', async () => {
    await ffmpeg('-f', 'lavfi', '-i', 'testsrc=size=320x180:duration=1', '-pix_fmt', 'yuv420p', at('other.mp4'));
    const opening = open(placed('cut-whole.mp4', 'other.mp4'));
    await expect(opening).rejects.toMatchObject({ code: 'video-index-missing' });
    await expect(opening).rejects.toThrow(/a-other\.mp4 beside it was filmed otherwise[^]*to do:/);
    await expect(open(placed('cut-whole.mp4', null))).rejects.toThrow(/no intact film[^]*to do:/);
  });

  it.each([0, 1, 7, 100])('with %i bytes of pictures is one message', async (bytes) => {
    const head = readFileSync(at('cut-whole.mp4'));
    const start = head.indexOf('mdat') + 4;
    writeFileSync(at('short.mp4'), head.subarray(0, start + bytes));
    await expect(open(placed('short.mp4', 'whole.mp4'))).rejects.toMatchObject({ code: 'video-index-missing' });
  });
});
