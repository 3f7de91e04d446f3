import { BitReader } from './bit-reader.ts';
import type { ParameterSets } from './parameter-sets.ts';

/** What the head of a NAL unit tells about the pictures. */
export type NalHeader =
  | { readonly kind: 'other' }
  | {
      readonly kind: 'slice';
      /** The first of its picture. */
      readonly first: boolean;
      /** Decoding may begin here; all pictures before it are shown before it. */
      readonly key: boolean;
      /** A film may begin with it. */
      readonly entry: boolean;
      /** Other pictures refer to it. */
      readonly reference: boolean;
      /** May be shown before pictures that stand before it. */
      readonly bipredicted: boolean;
      /** `null`: not told (HEVC). */
      readonly frameNumber: number | null;
    };

/** Bytes of a unit needed for its header. */
export const headerBytes = 32;

/** The header of a unit from its first bytes; `null`: no unit of such a film begins like this. */
export function nalHeader(head: Uint8Array, sets: ParameterSets): NalHeader | null {
  try {
    return sets.codec === 'h264' ? avcHeader(head, sets.frameNumberBits) : hevcHeader(head);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** H.264, 7.3.1, 7.3.3 and table 7-1. */
function avcHeader(head: Uint8Array, frameNumberBits: number): NalHeader | null {
  const type = head[0]! & 0x1f;
  const importance = head[0]! >> 5;
  if (importance > 3) return null;
  if (type !== 1 && type !== 5) {
    // Supplements, delimiters and filler are never referred to; parameter sets always.
    const other =
      type === 6 || (type >= 9 && type <= 12) ? importance === 0 : (type === 7 || type === 8) && importance > 0;
    return other ? { kind: 'other' } : null;
  }
  const reader = new BitReader(head.subarray(1));
  const first = reader.ue() === 0;
  const slice = reader.ue();
  const set = reader.ue();
  const key = type === 5;
  const intra = slice % 5 === 2;
  if (slice > 9 || set > 255 || (key && (!intra || importance === 0))) return null;
  const frameNumber = reader.bits(frameNumberBits);
  if (key && frameNumber !== 0) return null;
  const bipredicted = slice % 5 === 1;
  return { kind: 'slice', first, key, entry: key, reference: importance > 0, bipredicted, frameNumber };
}

/** H.265, 7.3.1.2, 7.3.6.1 and table 7-1; base layer only. */
function hevcHeader(head: Uint8Array): NalHeader | null {
  const type = head[0]! >> 1;
  if ((head[0]! & 0x81) !== 0 || head[1]! >> 3 !== 0 || (head[1]! & 7) === 0) return null;
  if (type >= 32 && type <= 40) return { kind: 'other' };
  if (type > 9 && (type < 16 || type > 21)) return null;
  const reader = new BitReader(head.subarray(2));
  const first = reader.bits(1) === 1;
  const entry = type >= 16;
  if (entry && (head[1]! & 7) !== 1) return null;
  const key = type === 19 || type === 20;
  return { kind: 'slice', first, key, entry, reference: true, bipredicted: false, frameNumber: null };
}

/** Whether a whole unit obeys the rule against false start codes (H.264 and H.265, 7.4.1) and ends as a unit must. */
export function isLegal(unit: Buffer): boolean {
  if (unit.at(-1) === 0) return false;
  for (let at = unit.indexOf(twoZeros); at >= 0; at = unit.indexOf(twoZeros, at + 1)) {
    const [third, fourth] = [unit[at + 2], unit[at + 3]];
    if (third === undefined || third > 3) continue;
    if (third < 3 || (fourth !== undefined && fourth > 3)) return false;
  }
  return true;
}

const twoZeros = Buffer.from([0, 0]);
