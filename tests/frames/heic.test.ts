import { readFileSync, writeFileSync } from 'node:fs';
import Color from 'colorjs.io';
import { expect, it } from 'vitest';
import { encodeVideo } from '../../src/frames/index.ts';
import { collect, means, open, scratch } from './media.ts';

const at = scratch();

function box(type: string, ...parts: readonly (Buffer | number[] | string)[]): Buffer {
  const body = Buffer.concat(
    parts.map((part) => (typeof part === 'string' ? Buffer.from(part, 'latin1') : Buffer.from(part))),
  );
  const head = Buffer.alloc(8);
  head.writeUInt32BE(8 + body.length);
  head.write(type, 4, 'latin1');
  return Buffer.concat([head, body]);
}

const u16 = (...values: readonly number[]): number[] => values.flatMap((value) => [value >> 8, value & 255]);
const u32 = (...values: readonly number[]): number[] => values.flatMap((value) => u16(value >>> 16, value & 65535));

/**
 * The smallest HEIC (ISO/IEC 23008-12): one HEVC key frame out of a one-frame film, wrapped as an item; with `nclx` (H.273
 * primaries and transfer) where asked.
 */
function heic(film: Buffer, width: number, height: number, nclx?: readonly [number, number]): Buffer {
  const found = (type: string): Buffer => {
    const start = film.indexOf(type, 0, 'latin1') - 4;
    return film.subarray(start, start + film.readUInt32BE(start));
  };
  const data = found('mdat').subarray(8);
  const ftyp = box('ftyp', 'heic', u32(0), 'mif1heic');
  const meta = (offset: number): Buffer =>
    box(
      'meta',
      u32(0),
      box('hdlr', u32(0, 0), 'pict', u32(0, 0, 0), [0]),
      box('pitm', u32(0), u16(1)),
      box('iloc', u32(0), [0x44, 0], u16(1, 1, 0, 1), u32(offset, data.length)),
      box('iinf', u32(0), u16(1), box('infe', [2, 0, 0, 0], u16(1, 0), 'hvc1', [0])),
      box(
        'iprp',
        box(
          'ipco',
          found('hvcC'),
          box('ispe', u32(0, width, height)),
          ...(nclx === undefined ? [] : [box('colr', 'nclx', u16(...nclx, 6), [0x80])]),
        ),
        box('ipma', u32(0, 1), u16(1), nclx === undefined ? [2, 0x81, 0x02] : [3, 0x81, 0x02, 0x03]),
      ),
    );
  return Buffer.concat([ftyp, meta(ftyp.length + meta(0).length + 8), box('mdat', data)]);
}

const colours = [
  [220, 120, 24],
  [46, 107, 79],
] as const;
const wanted = [10, 110].map((x) => ({ id: `x${x}`, kind: 'vial' as const, x, y: 40, width: 30, height: 30 }));

async function filmOfOne(): Promise<Buffer> {
  const data = new Uint8Array(192 * 128 * 3);
  for (let i = 0; i < data.length; i += 3) data.set(colours[i % 576 < 288 ? 0 : 1], i);
  const options = { file: at('one.mp4'), width: 192, height: 128, framesPerSecond: 25, codec: 'hevc', crf: 4 } as const;
  await encodeVideo({ ...options, colourTags: 'bt601', range: 'full' }, [{ width: 192, height: 128, data }]);
  return readFileSync(at('one.mp4'));
}

it('HEIC is read through its own decoder', async () => {
  writeFileSync(at('one.heic'), heic(await filmOfOne(), 192, 128));
  const source = await open(at('one.heic'));
  expect(source.info).toMatchObject({ kind: 'stills', width: 192, height: 128, conversion: null });
  const [frame] = await collect(source, wanted);
  if (frame?.kind !== 'frame') throw new Error('rejected');
  frame.regions.forEach((region, i) => {
    means(region).forEach((value, c) => expect(Math.abs(value - colours[i]![c]!), `${region.id} ${c}`).toBeLessThan(3));
  });
  expect((await source.still(0)).image.data.subarray(0, 3)).toHaveLength(3);
});

it('Display P3 named by the container alone is converted, unclipped', async () => {
  writeFileSync(at('p3.heic'), heic(await filmOfOne(), 192, 128, [12, 13]));
  const source = await open(at('p3.heic'));
  expect(source.info.notes.map(({ code }) => code)).toEqual(['profile-converted']);
  const [frame] = await collect(source, wanted);
  if (frame?.kind !== 'frame') throw new Error('rejected');
  frame.regions.forEach((region, i) => {
    const [r, g, b] = colours[i]!;
    const expected = new Color('p3', [r / 255, g / 255, b / 255]).to('srgb').coords;
    // In linear light, where a code of 8 bit is at most 1 / 110.
    means(region).forEach((value, c) =>
      expect(linear(value / 255), `${region.id} ${c}`).toBeCloseTo(linear(expected[c]!), 1.7),
    );
  });
  expect(Math.min(...frame.regions[0]!.blue)).toBeLessThan(0);
});

it('a picture in PQ or HLG is refused by name', async () => {
  for (const [transfer, name] of [
    [16, 'PQ'],
    [18, 'HLG'],
  ] as const) {
    writeFileSync(at('hdr.heic'), heic(await filmOfOne(), 192, 128, [9, transfer]));
    await expect(open(at('hdr.heic'))).rejects.toThrow(`high dynamic range picture (${name})`);
  }
});

const linear = (encoded: number): number => new Color('srgb', [encoded, 0, 0]).to('srgb-linear').coords[0]!;
