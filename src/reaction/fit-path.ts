import { cholesky, solveCholesky, type Cholesky } from '../numeric/cholesky.ts';
import { comparable, encodeSlope } from './encoded.ts';
import { nearestExtent, type EncodedPath, type ExtentPin, type NearestExtent } from './nearest-extent.ts';
import { misfitDerivative, withMisfit } from './path-misfit.ts';
import { at, physicsCount, type PathParameter } from './path-parameters.ts';
import { pathExtents, type PathPhysics } from './path-physics.ts';
import { shadingCount, shadingSd, vialAt, vialPaths, type VialLayout } from './vial-layout.ts';

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

interface Linearised {
  readonly matrix: Float64Array;
  readonly gradient: Float64Array;
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
  for (let shade = 0; shade < shadingCount; shade += 1) sd[shared + shade] = shadingSd[shade]!;
  for (let vial = 0; vial < vials.count; vial += 1) {
    sd[own + 2 * vial] = vials.spread.brightness;
    sd[own + 2 * vial + 1] = vials.spread.path;
  }

  const priorPrecision = sd.map((one) => (one === 0 ? heldPrecision : 1 / one ** 2));

  const costOf = (p: Float64Array, linear: Float64Array, byLogPath: Float64Array): number => {
    let cost = 0;
    for (let index = 0; index < size; index += 1) cost += priorPrecision[index]! * (p[index]! - mean[index]!) ** 2;
    const paths = vialPaths(p, linear, byLogPath, vials);
    for (const one of observations) cost += nearestPossible(paths[one.vial]!, one).nearest.cost;
    return cost;
  };
  const derivative = (p: Float64Array, linear: Float64Array, index: number): Float64Array =>
    colourDerivative(physics, prior, p, linear, index);

  let parameters = Float64Array.from(mean, (value, index) => start?.[index] ?? value);
  let linear = coloursOf(physics, parameters);
  let byLogPath = derivative(parameters, linear, at.logAmount);
  let cost = costOf(parameters, linear, byLogPath);
  let damping = 0.1;
  let converged = false;
  let iterations = 0;
  let system: Linearised | null = null;
  while (iterations < mostIterations && !converged) {
    iterations += 1;
    system ??= linearise(parameters, linear, byLogPath, (index) => derivative(parameters, linear, index));
    const damped = Float64Array.from(system.matrix);
    for (let index = 0; index < size; index += 1) damped[index * size + index]! += damping * priorPrecision[index]!;
    const factor = cholesky(damped, size);
    if (factor === null) {
      damping *= 10;
      if (damping > 1e12) return null;
      continue;
    }
    const move = solveCholesky(factor, system.gradient);
    const tried = parameters.map((value, index) => value + move[index]!);
    const triedLinear = coloursOf(physics, tried);
    const triedByLogPath = derivative(tried, triedLinear, at.logAmount);
    const triedCost = costOf(tried, triedLinear, triedByLogPath);
    if (triedCost <= cost) {
      converged = cost - triedCost < 5e-4 * (1 + cost);
      parameters = tried;
      linear = triedLinear;
      byLogPath = triedByLogPath;
      cost = triedCost;
      damping = Math.max(damping / 5, 1e-6);
      system = null;
    } else {
      damping *= 4;
      // no step, however short, goes lower: the bottom, as far as the kinks of cut-off channels let one see
      if (damping > 1e8) converged = true;
    }
  }
  system = linearise(parameters, linear, byLogPath, (index) => derivative(parameters, linear, index));
  const precision = cholesky(system.matrix, size);
  if (precision === null) return null;
  return { parameters, precision, linear, byLogPath, cost, converged, iterations };

  function linearise(
    p: Float64Array,
    base: Float64Array,
    byPath: Float64Array,
    derive: (index: number) => Float64Array,
  ): Linearised {
    const matrix = new Float64Array(size * size);
    const gradient = new Float64Array(size);
    for (let index = 0; index < size; index += 1) {
      matrix[index * size + index] = priorPrecision[index]!;
      gradient[index] = (mean[index]! - p[index]!) * priorPrecision[index]!;
    }
    const freePath = prior.flatMap((parameter, index) => (parameter.sd === 0 ? [] : [index]));
    const derivatives = freePath.map((index) => (index === at.logAmount ? byPath : derive(index)));
    const paths = vialPaths(p, base, byPath, vials);
    const columns = [...freePath, ...Array.from({ length: shadingCount + 2 }, (_, index) => shared + index)];
    const jacobian = new Float64Array(3 * (own + 2));
    const projected = new Float64Array(own + 2);
    for (const one of observations) {
      const path = paths[one.vial]!;
      const { nearest, pin } = nearestPossible(path, one);
      const { extent, index, share } = nearest;
      const { logBrightness, logPath } = vialAt(p, vials, one.vial);
      const shading = vials.shading[one.vial]!;
      const factor = Math.exp(logBrightness);
      let tangentPrecision = pin === null ? 0 : 1 / pin.sd ** 2;
      let tangentResidual = pin === null ? 0 : (pin.extent - extent) / pin.sd ** 2;
      const residual = [0, 0, 0];
      const tangent = [0, 0, 0];
      const gridStep = pathExtents[index + 1]! - pathExtents[index]!;
      for (let channel = 0; channel < 3; channel += 1) {
        const mix = (values: ArrayLike<number>): number =>
          values[index * 3 + channel]! * (1 - share) + values[index * 3 + 3 + channel]! * share;
        const light = factor * (mix(base) + logPath * mix(byPath));
        const predicted = mix(path);
        // a channel cut off by the camera on the predicted side carries no information
        const slope = comparable(predicted, one.colour[channel]!) === predicted ? encodeSlope(light) : 0;
        const weight = 1 / one.sd[channel]!;
        const low = comparable(path[index * 3 + channel]!, one.colour[channel]!);
        const high = comparable(path[index * 3 + 3 + channel]!, one.colour[channel]!);
        residual[channel] = (one.colour[channel]! - low - share * (high - low)) * weight;
        tangent[channel] = ((high - low) / gridStep) * weight;
        tangentPrecision += tangent[channel]! ** 2;
        tangentResidual += tangent[channel]! * residual[channel]!;
        const offset = channel * (own + 2);
        freePath.forEach((column, nth) => {
          jacobian[offset + column] = slope * factor * mix(derivatives[nth]!) * weight;
        });
        for (let shade = 0; shade < shadingCount; shade += 1) {
          jacobian[offset + shared + shade] = slope * light * weight * shading[shade]!;
        }
        jacobian[offset + own] = slope * light * weight;
        jacobian[offset + own + 1] = slope * factor * mix(byPath) * weight;
      }
      const inverse = tangentPrecision > 0 ? 1 / tangentPrecision : 0;
      const [t0, t1, t2] = [tangent[0]!, tangent[1]!, tangent[2]!];
      const [r0, r1, r2] = [residual[0]!, residual[1]!, residual[2]!];
      const second = own + 2;
      for (const column of columns) {
        projected[column] =
          t0 * jacobian[column]! + t1 * jacobian[second + column]! + t2 * jacobian[2 * second + column]!;
      }
      for (let high = 0; high < columns.length; high += 1) {
        const column = columns[high]!;
        const row = column < own ? column : column + 2 * one.vial;
        const j0 = jacobian[column]!;
        const j1 = jacobian[second + column]!;
        const j2 = jacobian[2 * second + column]!;
        const along = projected[column]! * inverse;
        gradient[row]! += j0 * r0 + j1 * r1 + j2 * r2 - along * tangentResidual;
        for (let low = 0; low <= high; low += 1) {
          const other = columns[low]!;
          matrix[row * size + (other < own ? other : other + 2 * one.vial)]! +=
            j0 * jacobian[other]! +
            j1 * jacobian[second + other]! +
            j2 * jacobian[2 * second + other]! -
            along * projected[other]!;
        }
      }
    }
    for (let row = 0; row < size; row += 1) {
      for (let column = 0; column < row; column += 1) matrix[column * size + row] = matrix[row * size + column]!;
    }
    return { matrix, gradient };
  }
}

/**
 * Nothing can be less than unreacted: a colour that pins nothing is held, softly, from lying before the path's beginning.
 * Without it, racks whose red was cut off at the start (overexposed) put extent 0 at a colour of true extent 0.05.
 */
const unreacted: ExtentPin = { extent: 0, sd: 0.015 };

function nearestPossible(
  path: EncodedPath,
  { colour, sd, pin }: PathObservation,
): { readonly nearest: NearestExtent; readonly pin: ExtentPin | null } {
  const nearest = nearestExtent(path, colour, sd, pin);
  if (pin !== null || nearest.extent >= 0) return { nearest, pin };
  return { nearest: nearestExtent(path, colour, sd, unreacted), pin: unreacted };
}

/** Derivative of the path's linear colours by every path unknown, at the optimum. */
export function pathDerivatives(
  physics: PathPhysics,
  prior: readonly PathParameter[],
  { parameters, linear }: PathFit,
): readonly Float64Array[] {
  return prior.map((_, index) => colourDerivative(physics, prior, parameters, linear, index));
}

/** The path's linear colours: what the physics says, and its misfit. */
function coloursOf(physics: PathPhysics, p: Float64Array): Float64Array {
  return withMisfit(physics.colours(p), p.subarray(physicsCount));
}

function colourDerivative(
  physics: PathPhysics,
  prior: readonly PathParameter[],
  p: Float64Array,
  linear: Float64Array,
  index: number,
): Float64Array {
  if (index >= physicsCount) return misfitDerivative(linear, index - physicsCount);
  const moved = Float64Array.from(p);
  const step = 1e-3 * prior[index]!.sd;
  moved[index]! += step;
  return coloursOf(physics, moved).map((value, place) => (value - linear[place]!) / step);
}
