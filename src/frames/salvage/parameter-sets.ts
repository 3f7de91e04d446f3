import { BitReader } from './bit-reader.ts';

/** What a decoder must know before the first picture; an MP4 keeps it in its index. */
export interface ParameterSets {
  readonly codec: 'h264' | 'hevc';
  /** The NAL units themselves, in the order in which a decoder wants them. */
  readonly units: readonly Uint8Array[];
  /** H.264: bits of a slice's frame number. */
  readonly frameNumberBits: number;
  /** Pictures that may come before another in the file and after it on the screen; `null`: told by the slices. */
  readonly reorder: number | null;
}

/** Bytes of a record that are looked at: real ones have some hundred. Chosen. */
const longestRecord = 65_536;

/**
 * The parameter sets of an intact film, from the `avcC` or `hvcC` box of its index (ISO/IEC 14496-15, 5.3.3.1 and
 * 8.3.3.1). `null`: it has none that can be used.
 */
export function parameterSetsOfIndex(index: Buffer): ParameterSets | null {
  for (const [name, units] of [
    ['avcC', unitsOfAvc],
    ['hvcC', unitsOfHevc],
  ] as const) {
    for (let at = index.indexOf(name, 0, 'latin1'); at >= 0; at = index.indexOf(name, at + 4, 'latin1')) {
      const sets = readSets(() => units(index.subarray(at + 4, at + 4 + longestRecord)));
      if (sets !== null) return sets;
    }
  }
  return null;
}

/** Sets made of units found: `null` when they are not whole, or not of a kind that can be counted (fields). */
export function parameterSets(units: readonly Uint8Array[]): ParameterSets | null {
  return readSets(() => units);
}

function readSets(find: () => readonly Uint8Array[]): ParameterSets | null {
  try {
    const units = find();
    const avc = units.find((unit) => (unit[0]! & 0x1f) === 7);
    const hevc = units.find((unit) => unit[0] === 0x42 && unit[1] === 0x01);
    if (hevc !== undefined) return { codec: 'hevc', units, frameNumberBits: 0, reorder: hevcReorder(hevc) };
    if (avc === undefined) return null;
    return { codec: 'h264', units, frameNumberBits: frameNumberBits(avc), reorder: null };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** Lengths of two bytes, then the units: `count` in the low bits of the byte before. */
function takeUnits(record: Uint8Array, from: number, count: number): { units: Uint8Array[]; end: number } {
  const units: Uint8Array[] = [];
  let at = from;
  for (let i = 0; i < count; i++) {
    const length = byteAt(record, at) * 256 + byteAt(record, at + 1);
    if (length < 2 || at + 2 + length > record.length) throw new RangeError('a parameter set is cut');
    units.push(record.subarray(at + 2, at + 2 + length));
    at += 2 + length;
  }
  return { units, end: at };
}

function unitsOfAvc(record: Uint8Array): readonly Uint8Array[] {
  // Lengths of samples must have four bytes: other cameras are not known to us [from memory].
  if (byteAt(record, 0) !== 1 || (byteAt(record, 4) & 3) !== 3) throw new RangeError('no avcC of version 1');
  const sequence = takeUnits(record, 6, byteAt(record, 5) & 31);
  const picture = takeUnits(record, sequence.end + 1, byteAt(record, sequence.end));
  return [...sequence.units, ...picture.units];
}

function unitsOfHevc(record: Uint8Array): readonly Uint8Array[] {
  if (byteAt(record, 0) !== 1 || (byteAt(record, 21) & 3) !== 3) throw new RangeError('no hvcC of version 1');
  const units: Uint8Array[] = [];
  let at = 23;
  for (let array = 0; array < byteAt(record, 22); array++) {
    const taken = takeUnits(record, at + 3, byteAt(record, at + 1) * 256 + byteAt(record, at + 2));
    units.push(...taken.units);
    at = taken.end;
  }
  return units;
}

function byteAt(bytes: Uint8Array, at: number): number {
  const byte = bytes[at];
  if (byte === undefined) throw new RangeError('the record ends too early');
  return byte;
}

/** Profiles whose sequence set tells of chroma and scaling lists (H.264, 7.3.2.1.1). */
const highProfiles = new Set([100, 110, 122, 244, 44, 83, 86, 118, 128, 138, 139, 134, 135]);

/** H.264, 7.3.2.1.1. @throws RangeError for fields: two of them are one picture, which would be counted wrong. */
function frameNumberBits(unit: Uint8Array): number {
  const reader = new BitReader(unit.subarray(1));
  const profile = reader.bits(8);
  reader.advance(16);
  reader.ue();
  if (highProfiles.has(profile)) skipChroma(reader);
  const bits = reader.ue() + 4;
  const order = reader.ue();
  if (order === 0) reader.ue();
  if (order === 1) {
    reader.advance(1);
    reader.se();
    reader.se();
    const cycle = reader.ue();
    for (let i = 0; i < cycle; i++) reader.se();
  }
  reader.ue();
  reader.advance(1);
  reader.ue();
  reader.ue();
  if (reader.bits(1) === 0) throw new RangeError('the film is made of fields');
  if (bits > 16) throw new RangeError('no sequence set');
  return bits;
}

function skipChroma(reader: BitReader): void {
  const chroma = reader.ue();
  if (chroma === 3) reader.advance(1);
  reader.ue();
  reader.ue();
  reader.advance(1);
  if (reader.bits(1) === 0) return;
  for (let list = 0; list < (chroma === 3 ? 12 : 8); list++) {
    if (reader.bits(1) === 0) continue;
    let [last, next] = [8, 8];
    for (let i = 0; i < (list < 6 ? 16 : 64) && next !== 0; i++) {
      next = (last + reader.se() + 256) % 256;
      if (next !== 0) last = next;
    }
  }
}

/** `sps_max_num_reorder_pics` of the highest layer (H.265, 7.3.2.2.1 and 7.3.3). */
function hevcReorder(unit: Uint8Array): number {
  const reader = new BitReader(unit.subarray(2));
  reader.advance(4);
  const layers = reader.bits(3);
  reader.advance(1 + 96);
  const present: (readonly [number, number])[] = [];
  for (let i = 0; i < layers; i++) present.push([reader.bits(1), reader.bits(1)]);
  if (layers > 0) reader.advance(2 * (8 - layers));
  for (const [profile, level] of present) reader.advance(88 * profile + 8 * level);
  reader.ue();
  if (reader.ue() === 3) reader.advance(1);
  reader.ue();
  reader.ue();
  if (reader.bits(1) === 1) for (let i = 0; i < 4; i++) reader.ue();
  for (let i = 0; i < 3; i++) reader.ue();
  const first = reader.bits(1) === 1 ? 0 : layers;
  let reorder = 0;
  for (let layer = first; layer <= layers; layer++) {
    reader.ue();
    reorder = reader.ue();
    reader.ue();
  }
  if (reorder > 16) throw new RangeError('no sequence set');
  return reorder;
}
