import { numericalRank, pivotedQr, solveQr } from './pivoted-qr.ts';
import type { PivotedQr } from './pivoted-qr.ts';

/**
 * The step p that lowers |J p + r| most inside the sphere |p| <= radius, for parameters already scaled to one unit: Gauss-Newton when that fits, else
 * Levenberg-Marquardt with the multiplier found by the safeguarded Newton iteration of
 * J. J. Moré (Lecture Notes in Mathematics 630:105, 1978). `qr` factors J with right side -r.
 */
export function trustRegionStep(qr: PivotedQr, radius: number, multiplier: number) {
  const gaussNewton = solveQr(qr);
  let length = norm(gaussNewton);
  const fullRank = numericalRank(qr, 1e-13) === qr.n;
  if (length <= 1.1 * radius && length > 0) return { step: gaussNewton, multiplier: 0, length };

  let upper = gradientLength(qr) / radius;
  if (!(upper > 0)) return { step: gaussNewton, multiplier: 0, length };
  let lower = fullRank ? Math.max(0, (length - radius) / (radius * slopeOf(qr, gaussNewton, length))) : 0;
  let lambda = Math.min(Math.max(multiplier, lower), upper);
  let step = gaussNewton;
  for (let round = 0; round < 12; round += 1) {
    if (!(lambda > lower * 0.999)) lambda = Math.max(0.001 * upper, Math.sqrt(lower * upper));
    const damped = dampedQr(qr, lambda);
    step = solveQr(damped);
    length = norm(step);
    const excess = length - radius;
    if (Math.abs(excess) <= 0.1 * radius) break;
    if (excess > 0) lower = Math.max(lower, lambda);
    else upper = Math.min(upper, lambda);
    const newton = lambda + excess / (radius * slopeOf(damped, step, length));
    lambda = newton > lower && newton < upper ? newton : Math.sqrt(Math.max(lower, 1e-12 * upper) * upper);
  }
  return { step, multiplier: lambda, length };
}

export function norm(values: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < values.length; j += 1) sum += values[j]! ** 2;
  return Math.sqrt(sum);
}

/** |J' r|. */
function gradientLength({ n, r, projected }: PivotedQr): number {
  let total = 0;
  for (let j = 0; j < n; j += 1) {
    let sum = 0;
    for (let i = 0; i <= j; i += 1) sum += r[i * n + j]! * projected[i]!;
    total += sum ** 2;
  }
  return Math.sqrt(total);
}

/** |R^-T P' p / |p||^2: minus the logarithmic slope of |p| against the multiplier. */
function slopeOf({ n, r, order }: PivotedQr, step: Float64Array, length: number): number {
  const solved = new Float64Array(n);
  let sum = 0;
  for (let i = 0; i < n; i += 1) {
    let value = step[order[i]!]! / length;
    for (let k = 0; k < i; k += 1) value -= r[k * n + i]! * solved[k]!;
    solved[i] = value / r[i * n + i]!;
    sum += solved[i]! ** 2;
  }
  return sum;
}

/** Factors [R; sqrt(lambda) I] with right side [Q'rhs; 0]. */
function dampedQr({ n, r, order, projected }: PivotedQr, lambda: number): PivotedQr {
  const root = Math.sqrt(lambda);
  const columns: Float64Array[] = Array.from({ length: n }, () => new Float64Array(2 * n));
  for (let j = 0; j < n; j += 1) {
    const column = columns[order[j]!]!;
    for (let i = 0; i <= j; i += 1) column[i] = r[i * n + j]!;
  }
  for (let j = 0; j < n; j += 1) columns[j]![n + j] = root;
  const right = new Float64Array(2 * n);
  right.set(projected);
  return pivotedQr(columns, right);
}
