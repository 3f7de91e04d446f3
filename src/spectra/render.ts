import type { Sensitivities } from './cameras.ts';
import type { Lamp } from './lamps.ts';
import { multiply, type Matrix3, type Triple } from './observer.ts';

export const identityMatrix: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Lamp, camera and matrix: all that stands between a transmittance and a linear colour. */
export interface Viewing {
  readonly lamp: Lamp;
  readonly sensitivities: Sensitivities;
  /** White-balanced camera channels to linear sRGB. */
  readonly matrix: Matrix3;
}

/**
 * Three rows of weights on the grid, matrix included, so that a colour is weights times transmittance.
 * With a white-keeping matrix each row sums to 1. For loops: compute once, then {@link weighLinearRgb}.
 */
export type ViewingWeights = readonly [Float64Array, Float64Array, Float64Array];

export function viewingWeights({ lamp, sensitivities, matrix }: Viewing): ViewingWeights {
  const channels = [sensitivities.red, sensitivities.green, sensitivities.blue].map((sensitivity) => {
    const weights = sensitivity.map((value, index) => value * lamp[index]!);
    const total = weights.reduce((sum, value) => sum + value, 0);
    return weights.map((value) => value / total);
  });
  const [red, green, blue] = channels as [Float64Array, Float64Array, Float64Array];
  const row = ([a, b, c]: Triple): Float64Array =>
    red.map((value, index) => a * value + b * green[index]! + c * blue[index]!);
  return [row(matrix[0]), row(matrix[1]), row(matrix[2])];
}

/** Linear RGB, white = 1, of a transmittance (or reflectance) 0..1 on the grid; may leave 0..1 for saturated colours. */
export function weighLinearRgb(weights: ViewingWeights, transmittance: ArrayLike<number>): Triple {
  const dot = (row: Float64Array): number => {
    let sum = 0;
    for (let index = 0; index < row.length; index += 1) sum += row[index]! * transmittance[index]!;
    return sum;
  };
  return [dot(weights[0]), dot(weights[1]), dot(weights[2])];
}

/** Linear RGB relative to the lamp's white for one transmittance; see {@link viewingWeights} for many. */
export function renderLinearRgb(options: Viewing & { readonly transmittance: ArrayLike<number> }): Triple {
  const raw = weighLinearRgb(viewingWeights({ ...options, matrix: identityMatrix }), options.transmittance);
  return multiply(options.matrix, raw);
}
