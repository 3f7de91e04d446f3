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
export function heic(film: Buffer, width: number, height: number, nclx?: readonly [number, number]): Buffer {
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
