import { numericJacobian } from './numeric-jacobian.ts';
import type { VectorFunction } from './numeric-jacobian.ts';
import { pivotedQr } from './pivoted-qr.ts';
import { norm, trustRegionStep } from './trust-region-step.ts';

/** A sum of squares to be made small inside a box. `residuals` may be non-finite where the model is undefined. */
export interface LeastSquaresProblem {
  readonly residuals: VectorFunction;
  /** Columns of partial derivatives of the residuals; without it they are taken numerically. */
  readonly jacobian: ((parameters: Float64Array) => Float64Array[]) | null;
  readonly lower: readonly number[];
  readonly upper: readonly number[];
  /** Size of the observations, |y|: residuals below its rounding count as zero. */
  readonly size: number;
}

export interface LeastSquaresEnd {
  readonly parameters: Float64Array;
  readonly residuals: Float64Array;
  readonly squares: number;
  readonly jacobian: readonly Float64Array[];
  /** Parameters held by a bound that the sum of squares pushes against. */
  readonly held: readonly boolean[];
  readonly converged: boolean;
  readonly iterations: number;
}

/**
 * Share of the residual vector that a step could still remove (relative offset of D. M. Bates & D. G. Watts,
 * Technometrics 23:179, 1981) below which the end is reached; a number without unit. Chosen: the error left in the
 * parameters is that share of their standard errors.
 */
const offsetGoal = 1e-9;
/** Residuals this small against the observations are mostly rounding, in which no offset can be seen. */
const nearRounding = 1e-12;
/** Steps taken on trust at most: near the end each takes off a share of the offset only, where the model bends much. */
const mostOnTrust = 40;
/** Offset accepted where rounding lets no step lower the sum any more. */
const offsetAccepted = 1e-4;

/**
 * Bounded Levenberg-Marquardt in a trust region scaled by the running largest column norms (Moré 1978). Steps are cut
 * to the box, and parameters at a bound that their gradient pushes out of are held. Returns `null` when the residuals
 * or their derivatives are not finite at the start.
 */
export function leastSquares(
  problem: LeastSquaresProblem,
  start: Float64Array,
  options: { readonly mostIterations: number; readonly firstRadius: number },
): LeastSquaresEnd | null {
  const { lower, upper } = problem;
  const n = start.length;
  let parameters = start.slice();
  let residuals = problem.residuals(parameters);
  let squares = sumOfSquares(residuals);
  const steps = parameters.map((value) => (value === 0 ? 1e-3 : Math.abs(value) * 1e-3));
  const derive = (): Float64Array[] =>
    problem.jacobian?.(parameters) ??
    numericJacobian({ evaluate: problem.residuals, at: parameters, value: residuals, lower, upper, steps });
  if (!Number.isFinite(squares)) return null;
  let jacobian = derive();
  const scale = new Float64Array(n);
  const scaledLength = (): number => norm(parameters.map((value, j) => value * scale[j]!));
  let radius = 0;
  let multiplier = 0;
  let converged = false;
  let held: boolean[] = [];
  let iterations = 0;
  let stalled = 0;
  const nothing = (problem.size * 2 ** -52) ** 2;

  for (; iterations < options.mostIterations && !converged; iterations += 1) {
    if (!jacobian.every((column) => column.every(Number.isFinite))) break;
    jacobian.forEach((column, j) => (scale[j] = Math.max(scale[j]!, Math.sqrt(sumOfSquares(column)))));
    held = heldParameters(problem, parameters, residuals, jacobian);
    const free = held.flatMap((fixed, j) => (fixed || scale[j] === 0 ? [] : [j]));
    if (free.length === 0 || squares <= nothing) {
      converged = true;
      break;
    }
    const qr = pivotedQr(
      free.map((j) => jacobian[j]!.map((entry) => entry / scale[j]!)),
      residuals.map((value) => -value),
    );
    const offset = Math.sqrt(sumOfSquares(qr.projected) / squares);
    if (offset < offsetGoal) {
      converged = true;
      break;
    }
    if (radius === 0) radius = options.firstRadius * (scaledLength() || Math.sqrt(squares));

    let accepted = false;
    for (let tries = 0; tries < 40 && !accepted; tries += 1) {
      const found = trustRegionStep(qr, radius, multiplier);
      multiplier = found.multiplier;
      const trial = parameters.slice();
      free.forEach((j, k) => (trial[j] = clamp(parameters[j]! + found.step[k]! / scale[j]!, lower[j]!, upper[j]!)));
      const predicted = squares - predictedSquares(residuals, jacobian, parameters, trial);
      const trialResiduals = problem.residuals(trial);
      const trialSquares = sumOfSquares(trialResiduals);
      const actual = Number.isFinite(trialSquares) ? squares - trialSquares : -Infinity;
      const ratio = predicted > 0 ? actual / predicted : -1;
      const length = Math.min(found.length, radius);
      if (ratio < 0.25)
        radius = ratio > -Infinity ? Math.max(0.1 * radius, 0.5 * Math.min(length, radius)) * 0.5 : 0.1 * radius;
      else if (ratio > 0.75) radius = Math.max(radius, 2 * found.length);
      // Near the end the sum no longer tells steps apart, only the offset does: take them on trust.
      const onTrust =
        predicted > 0 && predicted < 1e-13 * squares && actual > -1e-12 * squares && stalled < mostOnTrust;
      if (onTrust) stalled += 1;
      if (ratio > 1e-4 || onTrust) {
        accepted = true;
        parameters = trial;
        residuals = trialResiduals;
        squares = trialSquares;
      } else if (radius < 1e-15 * (scaledLength() + Math.sqrt(squares))) break;
    }
    if (!accepted || stalled >= mostOnTrust) {
      converged = offset < offsetAccepted || squares <= (problem.size * nearRounding) ** 2;
      break;
    }
    jacobian = derive();
  }
  return { parameters, residuals, squares, jacobian, held, converged, iterations };
}

function sumOfSquares(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i += 1) sum += values[i]! * values[i]!;
  return sum;
}

function predictedSquares(
  residuals: Float64Array,
  jacobian: readonly Float64Array[],
  from: Float64Array,
  to: Float64Array,
): number {
  const linear = residuals.slice();
  jacobian.forEach((column, j) => {
    const move = to[j]! - from[j]!;
    if (move !== 0) for (let i = 0; i < linear.length; i += 1) linear[i]! += move * column[i]!;
  });
  return sumOfSquares(linear);
}

function heldParameters(
  { lower, upper }: LeastSquaresProblem,
  parameters: Float64Array,
  residuals: Float64Array,
  jacobian: readonly Float64Array[],
): boolean[] {
  return jacobian.map((column, j) => {
    let gradient = 0;
    for (let i = 0; i < column.length; i += 1) gradient += column[i]! * residuals[i]!;
    return (parameters[j]! <= lower[j]! && gradient >= 0) || (parameters[j]! >= upper[j]! && gradient <= 0);
  });
}

function clamp(value: number, lower: number, upper: number): number {
  return Math.min(Math.max(value, lower), upper);
}
