import { cholesky, solveCholesky, type Cholesky } from '../numeric/cholesky.ts';
import type { ExtentPin } from './nearest-extent.ts';
import { misfitDerivative, misfitFactors, withFactors } from './path-misfit.ts';
import { at, physicsCount, type PathParameter } from './path-parameters.ts';
import type { PathPhysics } from './path-physics.ts';
import { linearisePath, nearestPossible, type NearestPossible, type PathSystem } from './path-system.ts';
import { shadingCount, vialPaths, type VialLayout } from './vial-layout.ts';

/** One colour used to fit the path. */
export interface PathObservation {
  /** Number of its vial, from 0. */
  readonly vial: number;
  /** Encoded, limited colour. */
  readonly colour: readonly [number, number, number];
  /** Standard deviation a channel, encoded units; includes what the model is allowed to miss by. */
  readonly sd: readonly [number, number, number];
  readonly pin: ExtentPin | null;
}

export interface PathFit {
  /** Path unknowns (physics, misfit), shading unknowns, then a pair (log brightness, log light path) for every vial; see vial-layout. */
  readonly parameters: Float64Array;
  /** Factor of the precision matrix at the optimum: the posterior's shape. */
  readonly precision: Cholesky;
  readonly linear: Float64Array;
  readonly byLogPath: Float64Array;
  readonly cost: number;
  readonly converged: boolean;
  readonly iterations: number;
}

/** Where the search stands. */
interface PathState {
  readonly parameters: Float64Array;
  readonly linear: Float64Array;
  readonly byLogPath: Float64Array;
  readonly paths: ReturnType<typeof vialPaths>;
  /** Nearest point of every observation. */
  readonly nearest: readonly NearestPossible[];
  readonly cost: number;
}

/** As good as fixed, beside spreads of some hundredths. */
const heldPrecision = 1e8;

/**
 * Most probable path for the colours of a run: nonlinear least squares with normal priors, every extent the nearest
 * point of the path (orthogonal distance regression; latent extents are eliminated from the normal equations).
 * An unknown whose prior has a standard deviation of 0 is held at its mean. Levenberg-Marquardt with damping in units of the prior spreads, so that no unit matters.
 */
export function fitPath(
  physics: PathPhysics,
  prior: readonly PathParameter[],
  observations: readonly PathObservation[],
  vials: VialLayout,
  start: ArrayLike<number> | null = null,
  mostIterations = 60,
): PathFit | null {
  const shared = prior.length;
  const own = shared + shadingCount;
  const size = own + 2 * vials.count;
  const mean = new Float64Array(size);
  const sd = new Float64Array(size);
  prior.forEach((parameter, index) => {
    mean[index] = parameter.mean;
    sd[index] = parameter.sd;
  });
  for (let shade = 0; shade < shadingCount; shade += 1) {
    mean[shared + shade] = vials.shadingPrior.mean[shade]!;
    sd[shared + shade] = vials.shadingPrior.sd[shade]!;
  }
  for (let vial = 0; vial < vials.count; vial += 1) {
    sd[own + 2 * vial] = vials.spread.brightness;
    sd[own + 2 * vial + 1] = vials.spread.path;
  }

  const priorPrecision = sd.map((one) => (one === 0 ? heldPrecision : 1 / one ** 2));

  const stateAt = (p: Float64Array): PathState => {
    const factors = misfitFactors(p.subarray(physicsCount));
    const linear = withFactors(physics.colours(p), factors);
    const byLogPath = colourDerivative(physics, prior, p, linear, factors, at.logAmount);
    const paths = vialPaths(p, linear, byLogPath, vials);
    const nearest = observations.map((one) => nearestPossible(paths[one.vial]!, one));
    let cost = 0;
    for (let index = 0; index < size; index += 1) cost += priorPrecision[index]! * (p[index]! - mean[index]!) ** 2;
    for (const one of nearest) cost += one.nearest.cost;
    return { parameters: p, linear, byLogPath, paths, nearest, cost };
  };
  const free = prior.flatMap((parameter, index) => (parameter.sd === 0 ? [] : [index]));
  const systemAt = (state: PathState): PathSystem => {
    const { parameters: p, linear, byLogPath } = state;
    const factors = misfitFactors(p.subarray(physicsCount));
    const derivatives = free.map((index) =>
      index === at.logAmount ? byLogPath : colourDerivative(physics, prior, p, linear, factors, index),
    );
    return linearisePath({ ...state, observations, vials, free, derivatives, mean, priorPrecision, shared });
  };

  let state = stateAt(Float64Array.from(mean, (value, index) => start?.[index] ?? value));
  let damping = 0.1;
  let converged = false;
  let iterations = 0;
  let system: PathSystem | null = null;
  while (iterations < mostIterations && !converged) {
    iterations += 1;
    system ??= systemAt(state);
    const damped = system.matrix.slice();
    for (let index = 0; index < size; index += 1) damped[index * size + index]! += damping * priorPrecision[index]!;
    const factor = cholesky(damped, size);
    if (factor === null) {
      damping *= 10;
      if (damping > 1e12) return null;
      continue;
    }
    const move = solveCholesky(factor, system.gradient);
    const tried = stateAt(state.parameters.map((value, index) => value + move[index]!));
    if (tried.cost <= state.cost) {
      converged = state.cost - tried.cost < 5e-4 * (1 + state.cost);
      state = tried;
      damping = Math.max(damping / 5, 1e-6);
      system = null;
    } else {
      damping *= 4;
      // no step, however short, goes lower: the bottom, as far as the kinks of cut-off channels let one see
      if (damping > 1e8) converged = true;
    }
  }
  const precision = cholesky((system ?? systemAt(state)).matrix, size);
  if (precision === null) return null;
  const { parameters, linear, byLogPath, cost } = state;
  return { parameters, precision, linear, byLogPath, cost, converged, iterations };
}

/** Derivative of the path's linear colours by every path unknown, at the optimum. */
export function pathDerivatives(
  physics: PathPhysics,
  prior: readonly PathParameter[],
  { parameters, linear }: PathFit,
): readonly Float64Array[] {
  const factors = misfitFactors(parameters.subarray(physicsCount));
  return prior.map((_, index) => colourDerivative(physics, prior, parameters, linear, factors, index));
}

/** `linear` and the misfit's `factors` belong to `p`. */
function colourDerivative(
  physics: PathPhysics,
  prior: readonly PathParameter[],
  p: Float64Array,
  linear: Float64Array,
  factors: Float64Array | null,
  index: number,
): Float64Array {
  if (index >= physicsCount) return misfitDerivative(linear, index - physicsCount);
  const moved = p.slice();
  const step = 1e-3 * prior[index]!.sd;
  moved[index]! += step;
  const change = withFactors(physics.colours(moved), factors);
  for (let place = 0; place < change.length; place += 1) change[place] = (change[place]! - linear[place]!) / step;
  return change;
}
