import { describe, expect, it } from 'vitest';
import type { VideoOptions } from '../../src/frames/index.ts';
import { collect, ffmpeg, film, height, open, scratch, width, worstError } from './media.ts';

const at = scratch();

/**
 * Tolerances in 8-bit codes of a region's mean against the picture that was encoded. 8 bit limited range: rounding of
 * Y (0.58 codes of R'G'B') and of Cb, Cr (0.9 at most through BT.709's 1.856 x 255/224) gives up to 1.7 in blue; 10 bit
 * a quarter. The encoder's own loss at these qualities stays inside (VP9's quick
 * mode loses a little more).
 */
const eightBit = 2;
const deep = 0.8;

const matrix: readonly (readonly [name: string, options: Partial<VideoOptions>, tolerance: number, said: string])[] = [
  ['h264.mp4', {}, eightBit, 'BT.709 limited range (tagged)'],
  ['h264-601.mp4', { colourTags: 'bt601' }, eightBit, 'BT.601 limited range (tagged)'],
  ['h264-full.mp4', { range: 'full' }, eightBit, 'BT.709 full range (tagged)'],
  ['h264-untagged.mp4', { colourTags: 'none' }, eightBit, 'BT.601 limited range (assumed)'],
  ['h264-422.mkv', { pixelFormat: 'yuv422p' }, eightBit, 'BT.709 limited range (tagged)'],
  ['h264-444.mp4', { pixelFormat: 'yuv444p' }, eightBit, 'BT.709 limited range (tagged)'],
  [
    'h264-444-full-601.mov',
    { pixelFormat: 'yuv444p', range: 'full', colourTags: 'bt601' },
    eightBit,
    'BT.601 full range (tagged)',
  ],
  ['hevc.mp4', { codec: 'hevc' }, eightBit, 'BT.709 limited range (tagged)'],
  ['hevc-10.mp4', { codec: 'hevc', pixelFormat: 'yuv420p10le' }, deep, 'BT.709 limited range (tagged)'],
  [
    'hevc-10-601-full.mkv',
    { codec: 'hevc', pixelFormat: 'yuv420p10le', colourTags: 'bt601', range: 'full' },
    deep,
    'BT.601 full range (tagged)',
  ],
  ['vp9.webm', { codec: 'vp9' }, eightBit + 0.5, 'BT.709 limited range (tagged)'],
  // libaom's first encoder; its quick mode loses a little more, as VP9's.
  ['av1.mkv', { codec: 'av1' }, eightBit + 0.5, 'BT.709 limited range (tagged)'],
  ['motion.avi', { codec: 'mjpeg' }, eightBit, 'BT.601 full range (tagged)'],
  ['prores.mov', { codec: 'prores', colourTags: 'none' }, deep, 'BT.601 limited range (assumed)'],
  ['prores-tagged.mov', { codec: 'prores' }, deep, 'BT.709 limited range (tagged)'],
  ['exact.mkv', { codec: 'ffv1', pixelFormat: 'gbrp' }, 0.01, 'R G B as stored'],
  ['exact-10.mkv', { codec: 'ffv1', pixelFormat: 'yuv444p10le' }, 0.4, 'BT.709 limited range (tagged)'],
];

describe('a film in any format shows the same colours', () => {
  it.each(matrix)('%s', async (name, options, tolerance, said) => {
    const source = await open(await film(at(name), options, 6));
    expect(source.info).toMatchObject({ kind: 'video', width, height, frameCount: 6, conversion: said });
    const frames = await collect(source);
    expect(frames.map((frame) => [frame.index, frame.timeRunS])).toEqual([0, 1, 2, 3, 4, 5].map((i) => [i, 20 * i]));
    expect(worstError(frames)).toBeLessThan(tolerance);
  });

  it('says so when matrix and range had to be assumed', async () => {
    const source = await open(await film(at('untagged.mp4'), { colourTags: 'none' }, 2));
    expect(source.info.notes.map((note) => note.code)).toEqual(['matrix-assumed', 'range-assumed']);
  });

  it('would see a wrong matrix: BT.709 pixels read as BT.601 are far off', async () => {
    await film(at('right.mkv'), { codec: 'ffv1' }, 2);
    await ffmpeg('-i', at('right.mkv'), '-c', 'copy', '-colorspace', 'smpte170m', at('wrong.mkv'));
    const source = await open(at('wrong.mkv'));
    expect(source.info.conversion).toBe('BT.601 limited range (tagged)');
    expect(worstError(await collect(source))).toBeGreaterThan(8);
  });

  it.each([90, 180, 270] as const)('turned by %i degrees: regions are those of the upright frame', async (rotation) => {
    await film(at(`flat-${rotation}.mp4`), {}, 4);
    // The stored picture is the upright one turned back; ffmpeg's own automatic rotation is the judge below.
    const turns = { 90: 'transpose=2', 180: 'hflip,vflip', 270: 'transpose=1' };
    const stored = at(`stored-${rotation}.mp4`);
    await ffmpeg(
      '-i',
      at(`flat-${rotation}.mp4`),
      '-vf',
      turns[rotation],
      '-crf',
      '5',
      '-colorspace',
      'bt709',
      '-color_range',
      'tv',
      stored,
    );
    const turned = at(`turned-${rotation}.mp4`);
    await ffmpeg('-i', stored, '-c', 'copy', '-metadata:s:v:0', `rotate=${360 - rotation}`, turned);
    await ffmpeg(
      '-i',
      turned,
      '-crf',
      '5',
      '-colorspace',
      'bt709',
      '-color_range',
      'tv',
      '-metadata:s:v:0',
      'rotate=0',
      at(`by-ffmpeg-${rotation}.mp4`),
    );
    const byFfmpeg = await collect(await open(at(`by-ffmpeg-${rotation}.mp4`)));
    expect(worstError(byFfmpeg)).toBeLessThan(eightBit + 0.5);
    const source = await open(turned);
    expect([source.info.width, source.info.height]).toEqual([width, height]);
    const frames = await collect(source);
    expect(worstError(frames)).toBeLessThan(eightBit + 0.5);
    const still = await source.still(0);
    expect([still.image.width, still.image.height]).toEqual([width, height]);
    const p = 3 * (25 * width + 150);
    expect(Math.abs(still.image.data[p + 1]! - 107)).toBeLessThan(4);
  });
});
