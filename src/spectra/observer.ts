import { cie1931 } from './cie-tables.ts';
import type { Lamp } from './lamps.ts';

export type Triple = readonly [number, number, number];
export type Matrix3 = readonly [Triple, Triple, Triple];

/** CIE XYZ (2-degree, 1931) of light of the given power on the common grid, scaled so that `white` has Y = 1. */
export function xyzOf(power: ArrayLike<number>, white: ArrayLike<number> = power): Triple {
  const sums = [0, 0, 0];
  let scale = 0;
  for (let index = 0; index < cie1931.y.length; index += 1) {
    sums[0]! += power[index]! * cie1931.x[index]!;
    sums[1]! += power[index]! * cie1931.y[index]!;
    sums[2]! += power[index]! * cie1931.z[index]!;
    scale += white[index]! * cie1931.y[index]!;
  }
  return [sums[0]! / scale, sums[1]! / scale, sums[2]! / scale];
}

/** XYZ (D65) to linear RGB of the sRGB primaries: IEC 61966-2-1, in the longer form of the CSS Color 4 draft (from memory). */
const xyzToLinearSrgb: Matrix3 = [
  [3.2409699419045226, -1.537383177570094, -0.4986107602930034],
  [-0.9692436362808796, 1.8759675015077202, 0.04155505740717559],
  [0.05563007969699366, -0.20397695888897652, 1.0569715142428786],
];
/** Bradford cone matrix (ICC profile specification, annex E; from memory). */
const bradford: Matrix3 = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];

/**
 * What an ideal white-balanced camera would give: linear sRGB of `power` under a lamp adapted to D65 (Bradford),
 * so that the lamp itself gives 1, 1, 1.
 */
export function adaptedLinearSrgb(power: ArrayLike<number>, lamp: Lamp): Triple {
  const cone = multiply(bradford, xyzOf(power, lamp));
  const lampCone = multiply(bradford, xyzOf(lamp));
  const adapted = solve3(bradford, [
    (cone[0] / lampCone[0]) * whiteCone[0],
    (cone[1] / lampCone[1]) * whiteCone[1],
    (cone[2] / lampCone[2]) * whiteCone[2],
  ]);
  return multiply(xyzToLinearSrgb, adapted);
}

export function multiply(matrix: Matrix3, vector: Triple): Triple {
  const row = ([a, b, c]: Triple): number => a * vector[0] + b * vector[1] + c * vector[2];
  return [row(matrix[0]), row(matrix[1]), row(matrix[2])];
}

/** Solves a 3x3 system by Cramer's rule. */
function solve3(matrix: Matrix3, right: Triple): Triple {
  const replaced = (column: number): Matrix3 =>
    matrix.map((row, index) => row.map((value, at) => (at === column ? right[index]! : value))) as unknown as Matrix3;
  const whole = determinant(matrix);
  return [determinant(replaced(0)) / whole, determinant(replaced(1)) / whole, determinant(replaced(2)) / whole];
}

function determinant([[a, b, c], [d, e, f], [g, h, i]]: Matrix3): number {
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}

/** Cone response of the white of the sRGB matrix: the XYZ that it turns into 1, 1, 1. */
const whiteCone: Triple = multiply(bradford, solve3(xyzToLinearSrgb, [1, 1, 1]));
