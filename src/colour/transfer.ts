/** Curves by which cameras and films encode light. */
export type TransferName = 'srgb' | 'bt709' | 'linear' | 'hlg' | 'pq';

/**
 * Decoder of one encoded value to linear light. Encoded 0..1 nominal gives 0..1 (for `pq`: 1 = 10,000 cd/m2, for `hlg`: 1 = peak).
 * Values outside are kept: below 0 by odd symmetry, above 1 by the same curve, so that means stay unbiased.
 */
export function decodeTransfer(transfer: TransferName): (encoded: number) => number {
  const curve = curves[transfer];
  return (encoded) => (encoded < 0 ? -curve(-encoded) : curve(encoded));
}

/** Same as {@link decodeTransfer} by table and linear interpolation on [-0.25, 1.25]; error below 2e-6 for sRGB, 2e-5 at the break of BT.709. */
export function tabulateTransfer(transfer: TransferName): (encoded: number) => number {
  const made = tabulated.get(transfer) ?? tabulate(transfer);
  tabulated.set(transfer, made);
  return made;
}

/** Made once: every region asks for one. */
const tabulated = new Map<TransferName, (encoded: number) => number>();

function tabulate(transfer: TransferName): (encoded: number) => number {
  const decode = decodeTransfer(transfer);
  const low = -0.25;
  const steps = 6144;
  const perUnit = steps / 1.5;
  const table = Float64Array.from({ length: steps + 1 }, (_, index) => decode(low + index / perUnit));
  return (encoded) => {
    const at = (encoded - low) * perUnit;
    if (!(at >= 0 && at < steps)) return decode(encoded);
    const index = at | 0;
    const base = table[index]!;
    return base + (at - index) * (table[index + 1]! - base);
  };
}

/** Linear light to sRGB-encoded value; encode break 0.0031308 (IEC 61966-2-1); odd below 0. */
export function encodeSrgb(linear: number): number {
  const size = Math.abs(linear);
  const encoded = size <= 0.0031308 ? 12.92 * size : 1.055 * size ** (1 / 2.4) - 0.055;
  return linear < 0 ? -encoded : encoded;
}

const curves: Readonly<Record<TransferName, (encoded: number) => number>> = {
  linear: (value) => value,
  // IEC 61966-2-1: decode break 0.04045.
  srgb: (value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4),
  // ITU-R BT.709, inverse of the camera curve: break 0.018 linear, 0.081 encoded.
  bt709: (value) => (value < 0.081 ? value / 4.5 : ((value + 0.099) / 1.099) ** (1 / 0.45)),
  // ITU-R BT.2100 HLG inverse OETF (constants from memory): scene light, peak = 1.
  hlg: (value) => {
    const a = 0.17883277;
    const b = 1 - 4 * a;
    const c = 0.5 - a * Math.log(4 * a);
    return value <= 0.5 ? (value * value) / 3 : (Math.exp((value - c) / a) + b) / 12;
  },
  // SMPTE ST 2084 EOTF (constants from memory): 1 = 10,000 cd/m2.
  pq: (value) => {
    const root = value ** (32 / 2523);
    return (Math.max(root - 3424 / 4096, 0) / (2413 / 128 - (2392 / 128) * root)) ** (16384 / 2610);
  },
};
