import { readFileSync, writeFileSync } from 'node:fs';
import { expect } from 'vitest';
import { encodeVideo, type VideoOptions } from '../../src/frames/index.ts';
import type { FramePixels, RgbImage } from '../../src/model/frame.ts';
import type { Timing } from '../../src/model/run.ts';
import { collect, ffmpeg, height, open, picture, width, worstError } from './media.ts';

export const count = 40;
export const interval: Timing = { kind: 'interval', intervalS: 20 };
export const playback: Timing = { kind: 'speed', speed: 1 };

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

/** What tests of films cut short share; `at`: where a file of that name lies. */
export function cutting(at: (name: string) => string) {
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

  return { film, anew, cut, withoutIndex, read, expectTrue };
}
