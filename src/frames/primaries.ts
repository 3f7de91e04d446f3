import { encodeSrgbFast } from './srgb-encoding.ts';

/** Rows: linear sRGB red, green, blue from linear R, G, B. */
export type PrimariesMatrix = readonly (readonly [number, number, number])[];

type Chromaticity = readonly [x: number, y: number];

/**
 * Chromaticities of red, green, blue; white is D65 (0.3127, 0.3290) in all. ITU-R BT.709-6 item 1.4 (the same as sRGB),
 * BT.2020-2 table 3, SMPTE EG 432-1 for Display P3: from memory; a test compares the matrices with colorjs.io.
 */
const chromaticities = {
  srgb: [
    [0.64, 0.33],
    [0.3, 0.6],
    [0.15, 0.06],
  ],
  bt2020: [
    [0.708, 0.292],
    [0.17, 0.797],
    [0.131, 0.046],
  ],
  p3: [
    [0.68, 0.32],
    [0.265, 0.69],
    [0.15, 0.06],
  ],
} as const satisfies Record<string, readonly Chromaticity[]>;
const white: Chromaticity = [0.3127, 0.329];

export type WidePrimaries = 'bt2020' | 'p3';

/** What turns linear light of wide primaries into that of sRGB; values outside 0..1 are colours that sRGB cannot show. */
export function matrixToSrgb(primaries: WidePrimaries): PrimariesMatrix {
  return multiply(invert(toXyz(chromaticities.srgb)), toXyz(chromaticities[primaries]));
}

/**
 * Turns planes of encoded R'G'B' into sRGB primaries in place, in linear light and without clipping. The sRGB curve is
 * used both ways, as everywhere where a film's own curve is not asked for.
 */
export function toSrgbPrimaries(
  matrix: PrimariesMatrix,
  { red, green, blue }: { readonly red: Float32Array; readonly green: Float32Array; readonly blue: Float32Array },
): void {
  const [toRed, toGreen, toBlue] = matrix as [
    PrimariesMatrix[number],
    PrimariesMatrix[number],
    PrimariesMatrix[number],
  ];
  for (let i = 0; i < red.length; i++) {
    const r = decodeSigned(red[i]!);
    const g = decodeSigned(green[i]!);
    const b = decodeSigned(blue[i]!);
    red[i] = encodeSrgbFast(toRed[0] * r + toRed[1] * g + toRed[2] * b);
    green[i] = encodeSrgbFast(toGreen[0] * r + toGreen[1] * g + toGreen[2] * b);
    blue[i] = encodeSrgbFast(toBlue[0] * r + toBlue[1] * g + toBlue[2] * b);
  }
}

/** IEC 61966-2-1, carried on above 1 and odd-symmetric below 0. */
function decodeSigned(encoded: number): number {
  const size = Math.abs(encoded);
  const linear = size <= 0.04045 ? size / 12.92 : ((size + 0.055) / 1.055) ** 2.4;
  return encoded < 0 ? -linear : linear;
}

/** Rows X, Y, Z of the primaries scaled so that R = G = B = 1 is the white. */
function toXyz(primaries: readonly Chromaticity[]): PrimariesMatrix {
  const xyz = ([x, y]: Chromaticity): readonly [number, number, number] => [x / y, 1, (1 - x - y) / y];
  const columns = primaries.map(xyz);
  const rows = [0, 1, 2].map((row) => columns.map((column) => column[row]!)) as unknown as PrimariesMatrix;
  const inverse = invert(rows);
  const target = xyz(white);
  const scale = inverse.map((row) => row[0] * target[0] + row[1] * target[1] + row[2] * target[2]);
  return rows.map((row) => [row[0] * scale[0]!, row[1] * scale[1]!, row[2] * scale[2]!] as const);
}

function multiply(a: PrimariesMatrix, b: PrimariesMatrix): PrimariesMatrix {
  const cell = (row: number, column: number): number =>
    [0, 1, 2].reduce((sum, k) => sum + a[row]![k]! * b[k]![column]!, 0);
  return [0, 1, 2].map((row) => [cell(row, 0), cell(row, 1), cell(row, 2)] as const);
}

function invert(m: PrimariesMatrix): PrimariesMatrix {
  const at = (row: number, column: number): number => m[row % 3]![column % 3]!;
  const cofactor = (row: number, column: number): number =>
    at(row + 1, column + 1) * at(row + 2, column + 2) - at(row + 1, column + 2) * at(row + 2, column + 1);
  const determinant = [0, 1, 2].reduce((sum, column) => sum + at(0, column) * cofactor(0, column), 0);
  const row = (i: number): readonly [number, number, number] => [
    cofactor(0, i) / determinant,
    cofactor(1, i) / determinant,
    cofactor(2, i) / determinant,
  ];
  return [row(0), row(1), row(2)];
}
