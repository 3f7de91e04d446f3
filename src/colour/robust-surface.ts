import { medianOf } from './median.ts';

/** A fitted smooth surface: residuals of every sample and their robust standard deviation. */
export interface SurfaceFit {
  readonly residual: Float64Array;
  readonly sigma: number;
}

/** Smallest scatter assumed, encoded units. Chosen: one 8-bit step and a half, so that a flat coded picture does not call its own rounding an outlier. */
const sigmaFloor = 1.5 / 255;
/** Tukey's biweight constant for 95 % efficiency at the normal (common practice). */
const biweight = 4.685;

/**
 * Robust fit of `value = a + b x + c x^2 + d y` (iteratively reweighted, Tukey's biweight, started from the median).
 * In a round vial light crosses less liquid away from the axis: the parabola in x takes that up, so that what remains is glare, glass and meniscus.
 * @param x and y are best scaled to about -1..1
 */
export function fitSurface(x: Float64Array, y: Float64Array, value: Float64Array): SurfaceFit {
  const n = value.length;
  const middle = medianOf(value);
  const residual = Float64Array.from(value, (entry) => entry - middle);
  let sigma = Math.max(sigmaFloor, 1.4826 * medianOf(residual.map(Math.abs)));
  for (let round = 0; round < 12; round += 1) {
    const normal = Array.from({ length: 4 }, () => new Float64Array(5));
    for (let index = 0; index < n; index += 1) {
      const ratio = residual[index]! / (biweight * sigma);
      if (ratio <= -1 || ratio >= 1) continue;
      const weight = (1 - ratio * ratio) ** 2;
      const u = x[index]!;
      const terms = [1, u, u * u, y[index]!];
      for (let row = 0; row < 4; row += 1) {
        const scaled = weight * terms[row]!;
        for (let column = row; column < 4; column += 1) normal[row]![column]! += scaled * terms[column]!;
        normal[row]![4]! += scaled * value[index]!;
      }
    }
    const fitted = solveSymmetric(normal);
    if (fitted === null) break;
    const [a, b, c, d] = fitted as [number, number, number, number];
    for (let index = 0; index < n; index += 1) {
      const u = x[index]!;
      residual[index] = value[index]! - (a + b * u + c * u * u + d * y[index]!);
    }
    sigma = Math.max(sigmaFloor, 1.4826 * medianOf(residual.map(Math.abs)));
  }
  return { residual, sigma };
}

/** Solves the normal equations given by their upper triangle and right side; `null` when singular. */
function solveSymmetric(system: Float64Array[]): number[] | null {
  const size = system.length;
  for (let row = 0; row < size; row += 1) {
    for (let column = 0; column < row; column += 1) system[row]![column] = system[column]![row]!;
  }
  for (let pivot = 0; pivot < size; pivot += 1) {
    const lead = system[pivot]![pivot]!;
    if (!(lead > 1e-9)) return null;
    for (let row = pivot + 1; row < size; row += 1) {
      const factor = system[row]![pivot]! / lead;
      for (let column = pivot; column <= size; column += 1) system[row]![column]! -= factor * system[pivot]![column]!;
    }
  }
  const solution = new Array<number>(size).fill(0);
  for (let row = size - 1; row >= 0; row -= 1) {
    let sum = system[row]![size]!;
    for (let column = row + 1; column < size; column += 1) sum -= system[row]![column]! * solution[column]!;
    solution[row] = sum / system[row]![row]!;
  }
  return solution;
}
