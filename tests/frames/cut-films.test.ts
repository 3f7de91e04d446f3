import { beforeAll, describe, expect, it } from 'vitest';
import type { VideoOptions } from '../../src/frames/index.ts';
import { count, cutting, interval, playback } from './cuts.ts';
import { collect, ffmpeg, open, scratch } from './media.ts';

const at = scratch();
const { film, anew, cut, read, expectTrue } = cutting(at);

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
