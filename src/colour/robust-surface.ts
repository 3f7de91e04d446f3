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

/** Samples that a fit looks at, evenly picked from all. Chosen: four numbers are known well from far fewer, and fitting takes a quarter of the time of all. */
const mostSamples = 2000;
const rounds = 12;
/** Of these, rounds that see one side only. Chosen. */
const startRounds = 4;

/**
 * Robust fit of `value = a + b x + c x^2 + d y` (iteratively reweighted, Tukey's biweight).
 * In a round vial light crosses less liquid away from the axis: the parabola in x takes that up, so that what remains is glare, glass and meniscus.
 * Started from the whole region and from either side alone, as a stripe over a quarter of the width can bend the whole into a fit that hides it;
 * the fit of least scatter is taken.
 * @param x and y are best scaled to about -1..1
 */
export function fitSurface(x: Float64Array, y: Float64Array, value: Float64Array): SurfaceFit {
  const stride = Math.max(1, Math.floor(value.length / mostSamples));
  const pick = (values: Float64Array): Float64Array =>
    stride === 1 ? values : values.filter((_, index) => index % stride === 0);
  const some = { x: pick(x), y: pick(y), value: pick(value) };
  let best: Reweighted | null = null;
  for (const side of [0, -1, 1]) {
    const fit = reweight(some, side);
    // A clear gain only: the whole region is the plain case.
    if (best === null || fit.sigma < 0.9 * best.sigma) best = fit;
  }
  const [a, b, c, d] = best!.surface;
  const residual = value.map((entry, index) => entry - (a + b * x[index]! + c * x[index]! ** 2 + d * y[index]!));
  // Glare only adds light: the darker half is free of it, where the whole scatter is widened by a broad stripe.
  const darker = residual.filter((one) => one < 0);
  const sigma = darker.length * 3 < residual.length ? best!.sigma : Math.min(best!.sigma, scatterOf(darker));
  return { residual, sigma };
}

type Surface = readonly [a: number, b: number, c: number, d: number];
interface Reweighted {
  readonly surface: Surface;
  readonly sigma: number;
}
interface Samples {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly value: Float64Array;
}

/** Robust standard deviation about 0. */
const scatterOf = (residual: Float64Array): number => Math.max(sigmaFloor, 1.4826 * medianOf(residual.map(Math.abs)));

/** Reweighted fits from a start: 0, the median of all; -1 or 1, the median and first fit of that side of x = 0 only. */
function reweight({ x, y, value }: Samples, side: number): Reweighted {
  const within = (index: number): boolean => side === 0 || side * x[index]! > 0;
  let surface: Surface = [medianOf(value.filter((_, index) => within(index))), 0, 0, 0];
  const residual = value.map((entry) => entry - surface[0]);
  let sigma = scatterOf(residual.filter((_, index) => within(index)));
  for (let round = 0; round < rounds; round += 1) {
    const normal = Array.from({ length: 4 }, () => new Float64Array(5));
    // One side alone says nothing of the lean: a vial's two sides are alike until both have been looked at.
    const lean = side === 0 || round >= startRounds;
    if (!lean) normal[1]![1] = 1;
    for (let index = 0; index < value.length; index += 1) {
      if (round < startRounds && !within(index)) continue;
      const ratio = residual[index]! / (biweight * sigma);
      if (ratio <= -1 || ratio >= 1) continue;
      const weight = (1 - ratio * ratio) ** 2;
      const u = x[index]!;
      const terms = [1, lean ? u : 0, u * u, y[index]!];
      for (let row = 0; row < 4; row += 1) {
        const scaled = weight * terms[row]!;
        for (let column = row; column < 4; column += 1) normal[row]![column]! += scaled * terms[column]!;
        normal[row]![4]! += scaled * value[index]!;
      }
    }
    const fitted = solveSymmetric(normal);
    if (fitted === null) break;
    surface = fitted as unknown as Surface;
    const [a, b, c, d] = surface;
    for (let index = 0; index < value.length; index += 1) {
      const u = x[index]!;
      residual[index] = value[index]! - (a + b * u + c * u * u + d * y[index]!);
    }
    sigma = scatterOf(round < startRounds - 1 ? residual.filter((_, index) => within(index)) : residual);
  }
  return { surface, sigma };
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
