import Color from 'colorjs.io';
import { describe, expect, it } from 'vitest';
import { matrixToSrgb } from '../../src/frames/primaries.ts';
import { collect, ffmpeg, film, means, open, scratch, truth } from './media.ts';

const at = scratch();

describe('wide primaries', () => {
  it.each([
    ['bt2020', 'rec2020-linear'],
    ['p3', 'p3-linear'],
  ] as const)('%s: our matrix is that of colorjs.io', (name, space) => {
    const matrix = matrixToSrgb(name);
    for (const rgb of [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
      [1, 1, 1],
    ] as const) {
      const expected = new Color(space, [...rgb]).to('srgb-linear', { inGamut: false }).coords;
      matrix.forEach((row, c) =>
        expect(row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2]).toBeCloseTo(expected[c]!, 4),
      );
    }
  });

  it.each([
    ['bt2020', 'rec2020-linear', 'BT.2020'],
    ['p3', 'p3-linear', 'P3'],
  ] as const)(
    'a film in %s is converted in linear light, unclipped, and says so',
    async (primariesTag, space, word) => {
      const file = await film(at(`${primariesTag}.mkv`), { codec: 'ffv1', pixelFormat: 'gbrp', primariesTag }, 2);
      const source = await open(file);
      expect(source.info.conversion).toContain(`${word} primaries to sRGB`);
      expect(source.info.notes.map((note) => note.code)).toContain('primaries-converted');
      const [frame] = await collect(source);
      if (frame?.kind !== 'frame') throw new Error('rejected');
      for (const region of frame.regions) {
        const stored = truth(region.id, 0).map((value) => value / 255) as [number, number, number];
        const linear = new Color('srgb', stored).to('srgb-linear').coords as [number, number, number];
        const expected = new Color(space, linear).to('srgb').coords;
        means(region).forEach((value, c) => expect(value / 255, `${region.id} ${c}`).toBeCloseTo(expected[c]!, 3));
      }
      const orange = frame.regions.find(({ id }) => id === 'orange')!;
      // Outside sRGB: blue below 0, and in BT.2020 red above 1.
      expect(Math.min(...orange.blue)).toBeLessThan(0);
      const still = (await source.still(0)).image;
      const grey = 3 * (80 * still.width + 30);
      expect([...still.data.subarray(grey, grey + 3)].every((value) => Math.abs(value - 128) <= 1)).toBe(true);
    },
  );

  it.each(['hlg', 'pq'] as const)('%s is refused by name, with what to do', async (transferTag) => {
    const file = await film(at(`${transferTag}.mp4`), { codec: 'hevc', pixelFormat: 'yuv420p10le', transferTag }, 2);
    await expect(open(file)).rejects.toMatchObject({
      code: 'hdr-video',
      message: expect.stringMatching(
        new RegExp(`${transferTag}\\.mp4: .*high dynamic range \\(${transferTag.toUpperCase()}\\)[^]*to do:`),
      ),
    });
  });
});

describe('an untagged film', () => {
  it('says how to tag it, and the advice settles the doubt', async () => {
    const source = await open(await film(at('untagged.mp4'), { colourTags: 'none' }, 2));
    const said = source.info.notes.find((note) => note.code === 'matrix-assumed')!.message;
    expect(said).toContain('BT.601 was assumed because it has 108 lines (fewer than 720)');
    const filter = /-bsf:v (\S+) COPY/.exec(said)![1]!;
    await ffmpeg('-i', at('untagged.mp4'), '-c', 'copy', '-bsf:v', filter, at('tagged.mp4'));
    const tagged = await open(at('tagged.mp4'));
    expect(tagged.info.conversion).toBe('BT.709 limited range (tagged)');
    expect(tagged.info.notes.map((note) => note.code)).not.toContain('matrix-assumed');
  });
});
