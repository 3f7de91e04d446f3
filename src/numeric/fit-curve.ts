import { orderLikeStart } from './equal-terms.ts';
import { checkFitInput } from './fit-curve-input.ts';
import { leastSquares } from './least-squares.ts';
import type { LeastSquaresEnd, LeastSquaresProblem } from './least-squares.ts';
import { linearParameters, projectLinear } from './linear-parameters.ts';
import { inverseNormalMatrix, numericalRank, pivotedQr } from './pivoted-qr.ts';
import { createRandom } from './random.ts';

/** A curve with parameters b at the predictor x (a number, or any record such as a list of several predictors). */
export interface CurveModel<X = number> {
  readonly f: (b: readonly number[], x: X) => number;
  readonly parameterCount: number;
  /** Partial derivatives of f by each parameter; taken numerically when left out. */
  readonly jacobian?: (b: readonly number[], x: X) => readonly number[];
}

export interface FitOptions {
  readonly start: readonly number[];
  /** Bounds, `-Infinity` and `Infinity` where there is none. */
  readonly lower?: readonly number[];
  readonly upper?: readonly number[];
  /** Inverse variances of y up to a common factor, >= 0; 0 leaves a point out. All 1 when left out. */
  readonly weights?: readonly number[];
}

/**
 * `converged`: a minimum inside the bounds, all parameters determined. `at-bound`: a minimum in which some parameter
 * stands at a bound. `not-identifiable`: the data do not determine all parameters. `failed`: no minimum found, or
 * the input is unusable. `reason` says why, `null` when converged.
 */
export type FitStatus = 'converged' | 'at-bound' | 'not-identifiable' | 'failed';

export interface CurveFit {
  readonly status: FitStatus;
  readonly reason: string | null;
  /** Best parameters found; the start when the input is unusable. */
  readonly parameters: readonly number[];
  /** `null` for a parameter at a bound, not identifiable, or without degrees of freedom. */
  readonly standardErrors: readonly (number | null)[];
  readonly covariance: readonly (readonly (number | null)[])[];
  /** Square root of the weighted sum of squares over the degrees of freedom; `null` without any. */
  readonly residualStandardDeviation: number | null;
  readonly degreesOfFreedom: number;
  readonly iterations: number;
}

/** Smallest pivot of the column-normalised Jacobian that still counts as information; differences reach about 1e-12. */
const rankTolerance = 1e-10;
const mostIterations = 500;
/**
 * A minimum that leaves more than this share of the scatter about a constant unexplained may be a side valley, such as a peak pushed
 * out of the data: restarts look for a lower one. Chosen.
 */
const doubtful = 0.5;
/** Restarts in a rescue; chosen: a handful of nonlinear parameters within a factor of 100 are found again. */
const mostRestarts = 60;

/**
 * Bounded nonlinear least squares. Equal answers in any units of x, y and the parameters. Besides the given start the
 * one with its linear parameters solved for is tried; when neither ends in a well-determined minimum, repeatable
 * restarts around the given start are made, and the lowest minimum counts. Equal terms of a sum come in the order of the
 * start.
 *
 * Unusable data (lengths that differ, NaN, fewer points than parameters, a start outside the bounds) give `failed` with
 * the reason. Throws RangeError only for misuse: a parameterCount that is no positive whole number, a start or bounds
 * of another length, or bounds that cross.
 */
export function fitCurve<X = number>(
  model: CurveModel<X>,
  x: readonly X[],
  y: readonly number[],
  options: FitOptions,
): CurveFit {
  const input = checkFitInput(model, x, y, options);
  if (typeof input === 'string') return unusable(model.parameterCount, options.start, input);
  const { problem, used, scatter } = input;
  const start = Float64Array.from(options.start);
  const unbounded = options.start.flatMap((_, j) =>
    problem.lower[j] === -Infinity && problem.upper[j] === Infinity ? [j] : [],
  );
  const linear = linearParameters(problem.residuals, start, unbounded);
  const run = (from: Float64Array | null, firstRadius: number, most = mostIterations): LeastSquaresEnd | null =>
    from === null ? null : leastSquares(problem, from, { mostIterations: most, firstRadius });
  const projected = (from: Float64Array): Float64Array | null =>
    linear.length === 0 ? null : inside(problem, projectLinear(problem.residuals, from, linear));

  let best = lower(run(start, 1), run(projected(start), 1));
  if (best === null || !isSound(best)) best = lower(best, run(start, 100));
  if (best === null || !isSound(best) || best.squares > doubtful * scatter) {
    best = lower(
      best,
      rescue(problem, start, linear, (from) => lower(run(projected(from), 1, 200), run(from, 1, 200))),
    );
  }
  if (best === null) return unusable(model.parameterCount, options.start, 'the model is not finite at the start');
  const ordered = isSound(best) ? orderLikeStart(problem, best.parameters, start) : null;
  const again = run(ordered, 1);
  if (again !== null && isSound(again)) best = { ...again, iterations: best.iterations + again.iterations };
  return summary(best, used);
}

/** Restarts from multiples of the start, until the lowest sound minimum has been met twice. */
function rescue(
  problem: LeastSquaresProblem,
  start: Float64Array,
  linear: readonly number[],
  attempt: (from: Float64Array) => LeastSquaresEnd | null,
): LeastSquaresEnd | null {
  const random = createRandom('fit-curve restarts');
  let best: LeastSquaresEnd | null = null;
  for (let round = 0; round < mostRestarts; round += 1) {
    const reach = [1, 2, 4, 6][round % 4]!;
    const from = start.map((value, j) => {
      const factor = Math.exp(reach * (2 * random.uniform() - 1));
      const low = problem.lower[j]!;
      const high = problem.upper[j]!;
      if (linear.includes(j)) return value;
      if (Number.isFinite(high - low) && round % 2 === 1) return low + (high - low) * random.uniform();
      return Math.min(Math.max(value * factor, low), high);
    });
    const end = attempt(from);
    if (end === null || !isSound(end)) continue;
    if (best !== null && Math.abs(end.squares - best.squares) <= 1e-8 * best.squares) return lower(best, end);
    best = lower(best, end);
  }
  return best;
}

function inside(problem: LeastSquaresProblem, at: Float64Array | null): Float64Array | null {
  return at !== null && at.every((value, j) => value >= problem.lower[j]! && value <= problem.upper[j]!) ? at : null;
}

/** The better of two ends: sound before unsound, unless the unsound one is clearly lower; then the lower sum. */
function lower(a: LeastSquaresEnd | null, b: LeastSquaresEnd | null): LeastSquaresEnd | null {
  if (a === null || b === null) return a ?? b;
  const soundA = isSound(a);
  if (soundA !== isSound(b)) {
    const [sound, other] = soundA ? [a, b] : [b, a];
    return sound.squares <= other.squares * (1 + 1e-6) || !other.converged ? sound : other;
  }
  return b.squares < a.squares ? b : a;
}

function isSound(end: LeastSquaresEnd): boolean {
  return end.converged && rankOfFree(end).determined;
}

function rankOfFree(end: LeastSquaresEnd) {
  const free = end.held.flatMap((fixed, j) => (fixed ? [] : [j]));
  const lengths = free.map((j) => Math.hypot(...end.jacobian[j]!));
  const columns = free.map((j, k) => end.jacobian[j]!.map((entry) => (lengths[k]! > 0 ? entry / lengths[k]! : 0)));
  const qr = pivotedQr(columns, end.residuals);
  const determined = lengths.every((length) => length > 0) && numericalRank(qr, rankTolerance) === free.length;
  return { free, lengths, qr, determined };
}

function summary(end: LeastSquaresEnd, used: number): CurveFit {
  const { free, lengths, qr, determined } = rankOfFree(end);
  const count = end.parameters.length;
  const degreesOfFreedom = used - free.length;
  const variance = degreesOfFreedom > 0 ? end.squares / degreesOfFreedom : null;
  const covariance = Array.from({ length: count }, () => new Array<number | null>(count).fill(null));
  if (determined && variance !== null && free.length > 0) {
    const inverse = inverseNormalMatrix(qr);
    free.forEach((i, a) =>
      free.forEach((j, b) => (covariance[i]![j] = (inverse[a]![b]! * variance) / (lengths[a]! * lengths[b]!))),
    );
  }
  const [status, reason] = verdict(end, determined);
  return {
    status,
    reason,
    parameters: [...end.parameters],
    standardErrors: covariance.map((row, j) => (row[j] === null ? null : Math.sqrt(row[j]!))),
    covariance,
    residualStandardDeviation: variance === null ? null : Math.sqrt(variance),
    degreesOfFreedom,
    iterations: end.iterations,
  };
}

function verdict(end: LeastSquaresEnd, determined: boolean): readonly [FitStatus, string | null] {
  if (!determined) return ['not-identifiable', 'the data do not determine all parameters'];
  if (!end.converged) return ['failed', `no minimum after ${end.iterations} iterations`];
  const at = end.held.flatMap((fixed, j) => (fixed ? [j + 1] : []));
  if (at.length > 0) return ['at-bound', `parameter ${at.join(', ')} stands at a bound`];
  return ['converged', null];
}

function unusable(parameterCount: number, start: readonly number[], reason: string): CurveFit {
  return {
    status: 'failed',
    reason,
    parameters: [...start],
    standardErrors: new Array<number | null>(parameterCount).fill(null),
    covariance: Array.from({ length: parameterCount }, () => new Array<number | null>(parameterCount).fill(null)),
    residualStandardDeviation: null,
    degreesOfFreedom: 0,
    iterations: 0,
  };
}
