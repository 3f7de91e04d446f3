import { readFileSync, writeFileSync } from 'node:fs';
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

/** The smallest HEIC (ISO/IEC 23008-12): one HEVC key frame out of a one-frame film, wrapped as an item. */
function heic(film: Buffer, width: number, height: number): Buffer {
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
        box('ipco', found('hvcC'), box('ispe', u32(0, width, height))),
        box('ipma', u32(0, 1), u16(1), [2, 0x81, 0x02]),
      ),
    );
  return Buffer.concat([ftyp, meta(ftyp.length + meta(0).length + 8), box('mdat', data)]);
}

it('HEIC is read through its own decoder', async () => {
  const data = new Uint8Array(192 * 128 * 3);
  for (let i = 0; i < data.length; i += 3) data.set(i % 576 < 288 ? [220, 120, 24] : [46, 107, 79], i);
  const options = { file: at('one.mp4'), width: 192, height: 128, framesPerSecond: 25, codec: 'hevc', crf: 4 } as const;
  await encodeVideo({ ...options, colourTags: 'bt601', range: 'full' }, [{ width: 192, height: 128, data }]);
  writeFileSync(at('one.heic'), heic(readFileSync(at('one.mp4')), 192, 128));
  const wanted = [10, 110].map((x) => ({ id: `x${x}`, kind: 'vial' as const, x, y: 40, width: 30, height: 30 }));
  const source = await open(at('one.heic'));
  expect(source.info).toMatchObject({ kind: 'stills', width: 192, height: 128 });
  const [frame] = await collect(source, wanted);
  if (frame?.kind !== 'frame') throw new Error('rejected');
  const expected = [
    [220, 120, 24],
    [46, 107, 79],
  ];
  frame.regions.forEach((region, i) => {
    means(region).forEach((value, c) =>
      expect(Math.abs(value - expected[i]![c]!), `${region.id} ${c}`).toBeLessThan(3),
    );
  });
  expect((await source.still(0)).image.data.subarray(0, 3)).toHaveLength(3);
});
