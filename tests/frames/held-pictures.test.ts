import { beforeAll, describe, expect, it } from 'vitest';
import { encodeVideo, type VideoOptions } from '../../src/frames/index.ts';
import { heldPattern, repeatsBy, type Change } from '../../src/frames/video/held-pattern.ts';
import { repeatedReason, type FramePixels, type RgbImage } from '../../src/model/frame.ts';
import type { Timing } from '../../src/model/run.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { collect, ffmpeg, height, open, picture, scratch, width } from './media.ts';

const at = scratch();
const count = 24;
const speed: Timing = { kind: 'speed', speed: 1 };
let shots: readonly RgbImage[];

/** A camera's noise on the test pictures, a standard deviation of 3 codes. */
function noisy(index: number): RgbImage {
  const random = createRandom(index + 1);
  const image = picture(index);
  return {
    ...image,
    data: image.data.map((code) => Math.max(0, Math.min(255, Math.round(code + 3 * random.normal())))),
  };
}

beforeAll(() => {
  shots = Array.from({ length: count }, (_, index) => noisy(index));
});

/** Frames of a film of 30 a second that shows `perSecond` pictures a second. */
const held = (perSecond: number): readonly number[] =>
  Array.from({ length: Math.floor((count * 30) / perSecond) }, (_, frame) => Math.floor((frame * perSecond) / 30));

async function film(name: string, perSecond: number, options: Partial<VideoOptions> = {}): Promise<string> {
  const frames = held(perSecond).map((shot) => shots[shot]!);
  await encodeVideo(
    { file: at(name), width, height, framesPerSecond: 30, crf: 16, preset: 'fast', ...options },
    frames,
  );
  return at(name);
}

const used = (frames: readonly FramePixels[]): readonly number[] =>
  frames.flatMap((frame) => (frame.kind === 'frame' ? [frame.index] : []));
const heldNotes = async (file: string, timing: Timing = speed) =>
  (await open(file, timing)).info.notes.filter(({ code }) => /held|repeated/.test(code));

describe('a film that shows each picture for several frames', () => {
  it.each<[name: string, perSecond: number, each: RegExp, options: Partial<VideoOptions>]>([
    ['two.mp4', 15, /for 2 frames/, {}],
    ['three.mkv', 10, /for 3 frames/, { keyFrameEvery: 8 }],
    ['uneven.mp4', 12, /for 2 or 3 frames \(2\.5/, {}],
    ['ten.mp4', 3, /for 10 frames/, { codec: 'hevc' }],
    ['two.mov', 15, /for 2 frames/, { codec: 'prores', colourTags: 'none' }],
    ['three.avi', 10, /for 3 frames/, { codec: 'mjpeg' }],
    ['lossless.mkv', 10, /for 3 frames/, { codec: 'ffv1', pixelFormat: 'yuv444p' }],
  ])('%s: %f a second', async (name, perSecond, each, options) => {
    const file = await film(name, perSecond, options);
    const [note, ...others] = await heldNotes(file);
    expect(note?.message).toMatch(each);
    expect(others).toEqual([]);
    const frames = await collect(await open(file, speed));
    const first = held(perSecond).flatMap((shot, frame, all) => (shot === all[frame - 1] ? [] : [frame]));
    expect(used(frames)).toEqual(first);
    const reasons = new Set(frames.flatMap((frame) => (frame.kind === 'rejected' ? [frame.reason] : [])));
    expect([...reasons]).toEqual([repeatedReason]);
    // Each is where the film shows it first.
    for (const { index, timeRunS } of frames) expect(timeRunS!).toBeCloseTo(index / 30, 2);
  });

  it('is doubted where interval_s counts its frames, with both ways out; and not where the film tells the time', async () => {
    const [note] = await heldNotes(at('three.mkv'), { kind: 'interval', intervalS: 20 });
    expect(note).toMatchObject({ code: 'pictures-held', severity: 'warn' });
    expect(note?.message).toMatch(/pictures are then 60 s apart.*every 20 s.*interval_s: 6\.6667.*speed: 599\.92 /);
    expect(await heldNotes(at('three.mkv'))).toMatchObject([{ code: 'pictures-held', severity: 'info' }]);
    // The advice is right: each gives the times that it says.
    const times = async (timing: Timing): Promise<readonly number[]> =>
      (await collect(await open(at('three.mkv'), timing))).flatMap((one) =>
        one.kind === 'frame' ? [one.timeRunS] : [],
      );
    (await times({ kind: 'interval', intervalS: 6.6667 })).forEach((time, i) => expect(time).toBeCloseTo(20 * i, 2));
    (await times({ kind: 'speed', speed: 599.92 })).forEach((time, i) => expect(time).toBeCloseTo(60 * i, 0));
  });

  it('gives the same frames to two decoders, and none twice to a glance', async () => {
    const many = Array.from({ length: 180 }, (_, frame) => shots[Math.floor(frame / 3) % count]!);
    await encodeVideo({ file: at('long.mp4'), width, height, framesPerSecond: 30, crf: 16, keyFrameEvery: 30 }, many);
    const frames = await collect(await open(at('long.mp4'), speed), undefined, true);
    expect([...used(frames)].sort((a, b) => a - b)).toEqual(Array.from({ length: 60 }, (_, i) => 3 * i));
    const glanced = used(await collect(await open(at('long.mp4'), speed, { glance: true })));
    expect(glanced.length).toBeGreaterThan(5);
    expect(glanced.every((index) => index % 3 === 0)).toBe(true);
    expect(used(await collect(await open(at('three.avi'), speed, { glance: true })))).toHaveLength(count);
  });
});

describe('a film that does not', () => {
  it.each<[name: string, options: Partial<VideoOptions>]>([
    ['h264.mp4', {}],
    ['coarse.mp4', { crf: 34 }],
    ['starved.mp4', { bitrate: 60_000 }],
    ['groups.mp4', { crf: 30, keyFrameEvery: 4 }],
    ['hevc.mp4', { codec: 'hevc', crf: 32 }],
    ['vp9.webm', { codec: 'vp9', crf: 40 }],
    ['jpeg.avi', { codec: 'mjpeg' }],
  ])('%s: none of its frames is taken for a repeat', async (name, options) => {
    const file = await film(name, 30, options);
    expect(await heldNotes(file)).toEqual([]);
    expect(used(await collect(await open(file, speed)))).toHaveLength(count);
  });

  it('but stood still here and there says how often', async () => {
    const order = [0, 1, 2, 2, 2, 3, 4, 5, 6, 6, 7, 8, 9, 10, 11, 12, 13];
    const file = at('stutter.avi');
    const frames = order.map((shot) => shots[shot]!);
    await encodeVideo({ file, width, height, framesPerSecond: 30, codec: 'mjpeg' }, frames);
    const [note] = await heldNotes(file);
    expect(note).toMatchObject({ code: 'frames-repeated', severity: 'info' });
    expect(note?.message).toMatch(/3 of 17 frames repeat the one before byte for byte/);
    const unused = (await collect(await open(file, speed))).filter(({ kind }) => kind === 'rejected');
    expect(unused.map(({ index }) => index)).toEqual([3, 4, 9]);
  });

  it('nor one whose picture is black: nothing new is in it, but it does not hold pictures', async () => {
    await ffmpeg(
      '-f',
      'lavfi',
      '-i',
      'color=black:size=64x64:duration=2:rate=10',
      '-pix_fmt',
      'yuv420p',
      at('black.mp4'),
    );
    expect(await heldNotes(at('black.mp4'))).toEqual([]);
  });
});

describe('the rule', () => {
  const changes = (means: readonly number[]): readonly Change[] =>
    means.map((mean, index) => ({ position: index + 1, mean, most: 2 * mean }));
  const every = (n: number, length: number, fresh = 4, repeat = 0.1) =>
    Array.from({ length }, (_, index) => ((index + 1) % n === 0 ? fresh : repeat));

  it('takes a strict period only', () => {
    expect(heldPattern(changes(every(4, 60)), new Set())?.framesEach).toBe(4);
    // One shot that resembles the one before, and a tenth of the period lost.
    const odd = every(4, 100);
    odd[39] = 0.1;
    expect(heldPattern(changes(odd), new Set())?.framesEach).toBeCloseTo(4, 0);
    const random = createRandom(3);
    const chance = Array.from({ length: 200 }, () => (random.uniform() < 0.4 ? 4 : 0.1));
    expect(heldPattern(changes(chance), new Set())).toBeNull();
    expect(heldPattern(changes(every(4, 60, 0.4, 0.1)), new Set())).toBeNull();
  });

  it('does not take what a coder renews at its key frames for new pictures, unless nothing at all moves between', () => {
    const keys = new Set(Array.from({ length: 10 }, (_, i) => 6 * i));
    expect(heldPattern(changes(every(6, 60, 2, 0.05)), keys)).toBeNull();
    expect(heldPattern(changes(every(6, 60, 2, 0.001)), keys)?.framesEach).toBe(6);
  });

  it('keeps a frame in which one vial alone has moved on, and drops a key frame in the midst of a picture', () => {
    const means = every(4, 60);
    means[9] = 1.5; // Position 10, between 8 and 12.
    const pattern = heldPattern(changes(every(4, 60)), new Set())!;
    const turned = changes(means).map((one) => (one.position === 22 ? { ...one, most: 9 } : one));
    expect(repeatsBy(pattern, turned, new Set([10])).has(10)).toBe(true);
    expect(repeatsBy(pattern, turned, new Set()).has(10)).toBe(false);
    expect(repeatsBy(pattern, turned, new Set([10])).has(22)).toBe(false);
  });
});
