import { medianInPlace } from './median.ts';

/** A fitted smooth surface: residuals of every sample and their robust standard deviation. */
export interface SurfaceFit {
  readonly residual: Float64Array;
  readonly sigma: number;
}

/** Smallest scatter assumed, encoded units. Chosen: one 8-bit step and a half, so that a flat coded picture does not call its own rounding an outlier. */
const sigmaFloor = 1.5 / 255;
/** Tukey's biweight constant for 95 % efficiency at the normal (common practice). */
const biweight = 4.685;

/** Samples that a fit looks at, evenly picked from all. Chosen: four numbers are known well from far fewer, and the cost of fitting is theirs. */
const mostSamples = 600;
const rounds = 12;
/** A fit whose numbers move less than this has settled, encoded units. Chosen: a four-hundredth of an 8-bit step. */
const still = 1e-5;
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
  const some = pickEvenly(x, y, value);
  let best: Reweighted | null = null;
  for (const side of [0, -1, 1]) {
    const fit = reweight(some, side);
    // A clear gain only: the whole region is the plain case.
    if (best === null || fit.sigma < 0.9 * best.sigma) best = fit;
  }
  const residual = new Float64Array(value.length);
  residuals({ x, y, value }, best!.surface, residual);
  // Glare only adds light: the darker half is free of it, where the whole scatter is widened by a broad stripe.
  const picked = new Float64Array(some.value.length);
  residuals(some, best!.surface, picked);
  let darker = 0;
  for (const one of picked) if (one < 0) picked[darker++] = -one;
  const sigma = darker * 3 < picked.length ? best!.sigma : Math.min(best!.sigma, scatterOf(picked, darker));
  return { residual, sigma };
}

/** At most {@link mostSamples}; the step is no whole number, so that it does not keep to a few columns of the region. */
function pickEvenly(x: Float64Array, y: Float64Array, value: Float64Array): Samples {
  if (value.length <= mostSamples) return { x, y, value };
  const step = value.length / mostSamples;
  const picked = {
    x: new Float64Array(mostSamples),
    y: new Float64Array(mostSamples),
    value: new Float64Array(mostSamples),
  };
  for (let entry = 0; entry < mostSamples; entry += 1) {
    const index = Math.floor(entry * step);
    picked.x[entry] = x[index]!;
    picked.y[entry] = y[index]!;
    picked.value[entry] = value[index]!;
  }
  return picked;
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

/** Robust standard deviation about 0 of the first `count` absolute residuals, which are put into another order. */
const scatterOf = (absolute: Float64Array, count: number): number =>
  Math.max(sigmaFloor, 1.4826 * medianInPlace(absolute, count));

function residuals({ x, y, value }: Samples, [a, b, c, d]: Surface, into: Float64Array): void {
  for (let index = 0; index < value.length; index += 1) {
    const u = x[index]!;
    into[index] = value[index]! - (a + b * u + c * u * u + d * y[index]!);
  }
}

/** Reweighted fits from a start: 0, the median of all; -1 or 1, the median and first fit of that side of x = 0 only. */
function reweight(samples: Samples, side: number): Reweighted {
  const { x, value } = samples;
  const within = (index: number): boolean => side === 0 || side * x[index]! > 0;
  const scratch = new Float64Array(value.length);
  const residual = new Float64Array(value.length);
  const scatter = (sideOnly: boolean): number => {
    let count = 0;
    for (let index = 0; index < residual.length; index += 1) {
      if (!sideOnly || within(index)) scratch[count++] = Math.abs(residual[index]!);
    }
    return scatterOf(scratch, count);
  };
  let count = 0;
  for (let index = 0; index < value.length; index += 1) if (within(index)) scratch[count++] = value[index]!;
  let surface: Surface = [medianInPlace(scratch, count), 0, 0, 0];
  residuals(samples, surface, residual);
  let sigma = scatter(true);
  const system = Array.from({ length: 4 }, () => new Float64Array(5));
  for (let round = 0; round < rounds; round += 1) {
    // One side alone says nothing of the lean: a vial's two sides are alike until both have been looked at.
    const lean = side === 0 || round >= startRounds;
    addProducts(samples, residual, biweight * sigma, round < startRounds ? side : 0, lean, system);
    const fitted = solveSymmetric(system);
    if (fitted === null) break;
    const settled = round >= startRounds && fitted.every((value, at) => Math.abs(value - surface[at]!) < still);
    surface = fitted as unknown as Surface;
    residuals(samples, surface, residual);
    sigma = scatter(round < startRounds - 1);
    if (settled) break;
  }
  return { surface, sigma };
}

/**
 * Upper triangle and right side of the normal equations: weighted sums of products of 1, u, u u, y and the value. A function by
 * itself, as an engine compiles a small loop at once and a large one only after most of a film's looks.
 * @param side 0, or the sign of the x that are used
 * @param lean whether u is x, or 0
 */
function addProducts(
  { x, y, value }: Samples,
  residual: Float64Array,
  width: number,
  side: number,
  lean: boolean,
  into: readonly Float64Array[],
): void {
  const [first, second, third, fourth] = [into[0]!, into[1]!, into[2]!, into[3]!];
  for (const row of into) row.fill(0);
  if (!lean) second[1] = 1;
  for (let index = 0; index < value.length; index += 1) {
    const across = x[index]!;
    if (side !== 0 && !(side * across > 0)) continue;
    const ratio = residual[index]! / width;
    if (ratio <= -1 || ratio >= 1) continue;
    const free = 1 - ratio * ratio;
    const weight = free * free;
    const uu = across * across;
    const v = y[index]!;
    const seen = value[index]!;
    first[0]! += weight;
    first[2]! += weight * uu;
    first[3]! += weight * v;
    first[4]! += weight * seen;
    if (lean) {
      const weightU = weight * across;
      first[1]! += weightU;
      second[1]! += weightU * across;
      second[2]! += weightU * uu;
      second[3]! += weightU * v;
      second[4]! += weightU * seen;
    }
    const weightUu = weight * uu;
    third[2]! += weightUu * uu;
    third[3]! += weightUu * v;
    third[4]! += weightUu * seen;
    const weightV = weight * v;
    fourth[3]! += weightV * v;
    fourth[4]! += weightV * seen;
  }
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
