import { solvePositive } from './solve-positive.ts';
import type { KineticModel, Prior } from './kinetic-model.ts';
import type { NoiseFilter } from './noise-filter.ts';

/** What a curve is held against. */
export interface FitTarget {
  readonly time: Float64Array;
  readonly extent: Float64Array;
  readonly filter: NoiseFilter;
  /** Variance of a whitened residual, which weighs the data against the priors. */
  readonly variance: number;
  /** Priors, the offset's among them. */
  readonly priors: readonly Prior[];
}

export interface RefinedFit {
  readonly b: Float64Array;
  /** Sum of squares of the whitened residuals. */
  readonly squares: number;
  /** squares / variance + sum of squared prior deviates: minus twice the log posterior, up to a constant. */
  readonly objective: number;
  /** Curvature (half the Hessian of the objective) at the end, p x p row major. */
  readonly information: Float64Array;
  readonly atBound: readonly boolean[];
}

/** Relative fall of the objective that counts as none. */
const flat = 1e-7;

/**
 * Bounded Levenberg-Marquardt on whitened residuals for the few parameters of a kinetic model. A quick special case of
 * numeric/fit-curve.ts (tests hold the two together): analytic derivatives, normal equations, priors.
 * `fixed` holds one parameter still, for profiles.
 */
export function refine(
  model: KineticModel,
  target: FitTarget,
  start: Float64Array,
  mostIterations: number,
  fixed = -1,
): RefinedFit {
  const p = start.length;
  const space = workspace(model, target, p);
  let b: Float64Array = Float64Array.from(start);
  let state = space.evaluate(b);
  space.keep();
  let damping = 1e-3;
  let atBound = b.map(() => 0);
  for (let iteration = 0; iteration < mostIterations; iteration += 1) {
    const { information, gradient } = space.normal(b);
    atBound = b.map((value, j) =>
      j === fixed || (value <= model.lower[j]! && gradient[j]! > 0) || (value >= model.upper[j]! && gradient[j]! < 0)
        ? 1
        : 0,
    );
    let next: { b: Float64Array; squares: number; objective: number } | null = null;
    for (let tries = 0; tries < 8; tries += 1) {
      const step = solvePositive(information, gradient, damping, atBound);
      const trial = b.map((value, j) => Math.min(Math.max(value - step[j]!, model.lower[j]!), model.upper[j]!));
      const outcome = space.evaluate(trial);
      if (outcome.objective < state.objective) {
        next = { b: trial, ...outcome };
        damping = Math.max(damping * 0.1, 1e-9);
        break;
      }
      damping *= 8;
    }
    if (next === null) break;
    const fall = state.objective - next.objective;
    b = next.b;
    state = next;
    space.keep();
    if (fall < flat * (1 + state.objective)) break;
  }
  const { information, gradient } = space.normal(b);
  return {
    b,
    squares: state.squares,
    objective: state.objective,
    information,
    atBound: Array.from(
      b,
      (value, j) => (value <= model.lower[j]! && gradient[j]! > 0) || (value >= model.upper[j]! && gradient[j]! < 0),
    ),
  };
}

/** Buffers and the two evaluations a fit needs. */
function workspace(model: KineticModel, target: FitTarget, p: number) {
  const { time, extent, filter, variance, priors } = target;
  const n = time.length;
  const curve = new Float64Array(n);
  const residual = new Float64Array(n);
  const whitened = new Float64Array(n);
  const partials = Array.from({ length: p }, () => new Float64Array(n).fill(1));
  const columns = partials.map(() => new Float64Array(n));
  filter.whiten(partials[0]!, columns[0]!);
  return {
    /** Of a point that is then kept, the buffers hold what `normal` needs. */
    evaluate(b: Float64Array): { squares: number; objective: number } {
      model.evaluate(b, time, curve, partials);
      for (let i = 0; i < n; i += 1) residual[i] = b[0]! + curve[i]! - extent[i]!;
      filter.whiten(residual, whitened);
      let squares = 0;
      for (let i = 0; i < n; i += 1) squares += whitened[i]! * whitened[i]!;
      let objective = squares / variance;
      for (const { index, mean, sd } of priors) objective += ((b[index]! - mean) / sd) ** 2;
      return { squares, objective };
    },
    /** The point evaluated last is where the fit goes on from. */
    keep(): void {
      for (let j = 1; j < p; j += 1) filter.whiten(partials[j]!, columns[j]!);
    },
    /** Half the Hessian and half the gradient of the objective. */
    normal(b: Float64Array): { information: Float64Array; gradient: Float64Array } {
      const information = new Float64Array(p * p);
      const gradient = new Float64Array(p);
      for (let j = 0; j < p; j += 1) {
        const column = columns[j]!;
        let sum = 0;
        for (let i = 0; i < n; i += 1) sum += column[i]! * whitened[i]!;
        gradient[j] = sum / variance;
        const keep = (k: number, product: number): void => {
          information[j * p + k] = product / variance;
          information[k * p + j] = product / variance;
        };
        let k = 0;
        // Two columns at a time: their sums do not wait for one another.
        for (; k < j; k += 2) {
          const first = columns[k]!;
          const second = columns[k + 1]!;
          let product1 = 0;
          let product2 = 0;
          for (let i = 0; i < n; i += 1) {
            const value = column[i]!;
            product1 += value * first[i]!;
            product2 += value * second[i]!;
          }
          keep(k, product1);
          keep(k + 1, product2);
        }
        if (k === j) {
          let product = 0;
          for (let i = 0; i < n; i += 1) product += column[i]! * column[i]!;
          keep(j, product);
        }
      }
      for (const { index, mean, sd } of priors) {
        information[index * p + index]! += 1 / (sd * sd);
        gradient[index]! += (b[index]! - mean) / (sd * sd);
      }
      return { information, gradient };
    },
  };
}
