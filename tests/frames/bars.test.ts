import { describe, expect, it } from 'vitest';
import { codeRange, lumaWeights } from '../../src/frames/ycbcr.ts';
import { collect, ffmpeg, means, open, scratch } from './media.ts';

const at = scratch();

/**
 * Y, Cb, Cr of 75 % bars, 8 bit limited range. Computed from ITU-R BT.601 and BT.709 (project reference notes, where
 * they were recomputed); ffmpeg's `smptebars` and `smptehdbars` sources are the live check.
 */
const bars = {
  bt601: {
    yellow: [162, 44, 142],
    cyan: [131, 156, 44],
    green: [112, 72, 58],
    magenta: [84, 184, 198],
    red: [65, 100, 212],
    blue: [35, 212, 114],
  },
  bt709: {
    yellow: [168, 44, 136],
    cyan: [145, 147, 44],
    green: [133, 63, 52],
    magenta: [63, 193, 204],
    red: [51, 109, 212],
    blue: [28, 212, 120],
  },
} as const;
const colours = {
  yellow: [1, 1, 0],
  cyan: [0, 1, 1],
  green: [0, 1, 0],
  magenta: [1, 0, 1],
  red: [1, 0, 0],
  blue: [0, 0, 1],
} as const;

describe.each(['bt601', 'bt709'] as const)('75 %% bars of %s', (matrix) => {
  it.each(Object.entries(colours))('%s: our weights give the published codes', (name, rgb) => {
    const { red: kr, blue: kb } = lumaWeights[matrix];
    const { lumaZero, lumaSpan, chromaZero, chromaSpan } = codeRange('limited', 8);
    const [r, g, b] = rgb.map((value) => 0.75 * value) as [number, number, number];
    const y = kr * r + (1 - kr - kb) * g + kb * b;
    const codes = [
      lumaZero + lumaSpan * y,
      chromaZero + (chromaSpan * (b - y)) / (2 * (1 - kb)),
      chromaZero + (chromaSpan * (r - y)) / (2 * (1 - kr)),
    ];
    expect(codes.map(Math.round)).toEqual(bars[matrix][name as keyof typeof colours]);
  });
});

describe("ffmpeg's own bars come out as 75 % colours", () => {
  const order = ['yellow', 'cyan', 'green', 'magenta', 'red', 'blue'] as const;
  it.each([
    // The seven bars fill the picture in smptebars; in smptehdbars they stand between two grey eighths.
    ['smptebars', 'smpte170m', (i: number) => Math.round((320 / 7) * (i + 1.5))],
    ['smptehdbars', 'bt709', (i: number) => Math.round(320 / 8 + (320 * (3 / 4) * (i + 1.5)) / 7)],
  ] as const)('%s', async (generator, tag, centre) => {
    const file = at(`${generator}.mkv`);
    const filter = ['-f', 'lavfi', '-i', `${generator}=size=320x180:rate=5:duration=0.4`];
    await ffmpeg(...filter, '-c:v', 'ffv1', '-pix_fmt', 'yuv420p', '-colorspace', tag, '-color_range', 'tv', file);
    const wanted = order.map((id, i) => ({
      id,
      kind: 'vial' as const,
      x: centre(i) - 8,
      y: 20,
      width: 16,
      height: 40,
    }));
    const frames = await collect(await open(file), wanted);
    expect(frames.length).toBe(2);
    const first = frames[0]!;
    if (first.kind !== 'frame') throw new Error('rejected');
    for (const region of first.regions) {
      const expected = colours[region.id as keyof typeof colours].map((value) => 0.75 * 255 * value);
      // Rounded to whole codes and, in ffmpeg's table, to whole codes again: 2 of 255 at most.
      means(region).forEach((value, c) => expect(Math.abs(value - expected[c]!), `${region.id} ${c}`).toBeLessThan(2));
    }
  });
});
