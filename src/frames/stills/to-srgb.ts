import { matrixToSrgb, type WidePrimaries } from '../primaries.ts';
import { decodeSrgb, encodeSrgbFast } from '../srgb-encoding.ts';
import type { IccProfile } from './icc-profile.ts';

type Matrix = readonly (readonly [number, number, number])[];

/** Columns XYZ (D50) of the sRGB primaries as in ICC's sRGB profiles [from memory; checked in tests by a profile]. */
const srgbToXyz: Matrix = [
  [0.43607, 0.22249, 0.01392],
  [0.38515, 0.71687, 0.09708],
  [0.14307, 0.06061, 0.7141],
];

/** How a profile's encoded R'G'B' becomes sRGB-encoded R'G'B' beyond 0..1 where needed; `null`: it is sRGB already. */
export interface ProfileConversion {
  /** Linear light of each code, per channel. */
  readonly linear: readonly Float32Array[];
  /** Rows: linear sRGB from linear R, G, B of the profile. */
  readonly matrix: Matrix;
}

/**
 * Prepares the conversion for pictures of `maximum` + 1 codes a channel. A profile within 0.002 of sRGB in curve and
 * matrix (its own rounding) is taken for sRGB and costs nothing.
 */
export function profileConversion(profile: IccProfile, maximum: number): ProfileConversion | null {
  const inverse = invert(srgbToXyz);
  // Both matrices hold columns as their first index.
  const matrix = [0, 1, 2].map((row) =>
    [0, 1, 2].map((column) => [0, 1, 2].reduce((sum, k) => sum + inverse[k]![row]! * profile.toXyz[column]![k]!, 0)),
  ) as unknown as Matrix;
  const same = matrix.every((row, r) => row.every((value, c) => Math.abs(value - (r === c ? 1 : 0)) < 0.002));
  const probes = Array.from({ length: 33 }, (_, i) => i / 32);
  const sameCurves = profile.curves.every((curve) => probes.every((x) => Math.abs(curve(x) - decodeSrgb(x)) < 0.002));
  if (same && sameCurves) return null;
  const linear = profile.curves.map((curve) =>
    Float32Array.from({ length: maximum + 1 }, (_, i) => curve(i / maximum)),
  );
  return { linear, matrix };
}

/** The same for pictures that name wide primaries and no profile; their curve is taken for sRGB's, as Display P3's is. */
export function primariesConversion(primaries: WidePrimaries, maximum: number): ProfileConversion {
  const curve = Float32Array.from({ length: maximum + 1 }, (_, i) => decodeSrgb(i / maximum));
  return { linear: [curve, curve, curve], matrix: matrixToSrgb(primaries) };
}

/** The same for pictures whose code values are light to the power `gamma`, with the primaries of sRGB. */
export function gammaConversion(gamma: number, maximum: number): ProfileConversion {
  const curve = Float32Array.from({ length: maximum + 1 }, (_, i) => (i / maximum) ** (1 / gamma));
  return { linear: [curve, curve, curve], matrix: unity };
}

const unity: Matrix = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Converts `count` interleaved pixels starting at `from`, writing encoded planes from `at`. */
export function convertRow(
  { linear, matrix }: ProfileConversion,
  samples: Uint8Array | Uint16Array,
  from: number,
  count: number,
  planes: { readonly red: Float32Array; readonly green: Float32Array; readonly blue: Float32Array },
  at: number,
): void {
  const [redCurve, greenCurve, blueCurve] = linear as [Float32Array, Float32Array, Float32Array];
  const [toRed, toGreen, toBlue] = matrix as [Matrix[number], Matrix[number], Matrix[number]];
  for (let i = 0, p = from; i < count; i++, p += 3) {
    const r = redCurve[samples[p]!]!;
    const g = greenCurve[samples[p + 1]!]!;
    const b = blueCurve[samples[p + 2]!]!;
    planes.red[at + i] = encodeSrgbFast(toRed[0] * r + toRed[1] * g + toRed[2] * b);
    planes.green[at + i] = encodeSrgbFast(toGreen[0] * r + toGreen[1] * g + toGreen[2] * b);
    planes.blue[at + i] = encodeSrgbFast(toBlue[0] * r + toBlue[1] * g + toBlue[2] * b);
  }
}

/** Inverse of a 3x3 given and returned by columns. */
function invert(m: Matrix): Matrix {
  const [a, b, c] = m as [Matrix[number], Matrix[number], Matrix[number]];
  const cross = (u: Matrix[number], v: Matrix[number]): [number, number, number] => [
    u[1] * v[2] - u[2] * v[1],
    u[2] * v[0] - u[0] * v[2],
    u[0] * v[1] - u[1] * v[0],
  ];
  const [bc, ca, ab] = [cross(b, c), cross(c, a), cross(a, b)];
  const determinant = a[0] * bc[0] + a[1] * bc[1] + a[2] * bc[2];
  // Rows of the inverse are bc, ca, ab over the determinant.
  return [0, 1, 2].map((k) => [bc[k]! / determinant, ca[k]! / determinant, ab[k]! / determinant] as const);
}
