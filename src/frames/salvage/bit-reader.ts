/** Reads the bits of a NAL unit's header, most significant first (ITU-T H.264, 7.2 and 9.1; H.265 alike). */
export class BitReader {
  private readonly bytes: Uint8Array;
  private at = 0;

  /** `unit`: the unit after its header; bytes put in against false start codes (00 00 03) are taken out. */
  constructor(unit: Uint8Array) {
    const bytes: number[] = [];
    let zeros = 0;
    for (const byte of unit) {
      // Counted over what came in: two zeros before a put-in byte do not count for the next one.
      if (zeros >= 2 && byte === 3) {
        zeros = 0;
        continue;
      }
      zeros = byte === 0 ? zeros + 1 : 0;
      bytes.push(byte);
    }
    this.bytes = Uint8Array.from(bytes);
  }

  /** An unsigned number of `count` bits. @throws RangeError beyond the end. */
  bits(count: number): number {
    let value = 0;
    for (let i = 0; i < count; i++, this.at++) {
      const byte = this.bytes[this.at >> 3];
      if (byte === undefined) throw new RangeError('the unit ends too early');
      value = value * 2 + ((byte >> (7 - (this.at & 7))) & 1);
    }
    return value;
  }

  advance(count: number): void {
    this.at += count;
  }

  /** An Exp-Golomb number, `ue(v)`. @throws RangeError beyond the end, or longer than 32 bits. */
  ue(): number {
    let zeros = 0;
    while (this.bits(1) === 0) if (++zeros > 31) throw new RangeError('no Exp-Golomb number');
    return 2 ** zeros - 1 + this.bits(zeros);
  }

  /** A signed one, `se(v)`. */
  se(): number {
    const value = this.ue();
    return value % 2 === 1 ? (value + 1) / 2 : -value / 2;
  }
}
