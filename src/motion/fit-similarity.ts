import type { Shift } from '../model/shift.ts';
import { cholesky, solveCholesky } from '../numeric/cholesky.ts';

/** One anchor's displacement, pixels, at a place relative to the frame's centre. */
export interface Displacement {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  /** Inverse covariance per squared pixel: xx, xy, yy. */
  readonly information: readonly [number, number, number];
}

export interface SimilarityFit {
  readonly shift: Shift;
  /** Weight given to each displacement, 0..1. */
  readonly weights: readonly number[];
}

/** Anchors are never believed better than this, pixels. Chosen: the registration's own bias on coded pictures. */
const anchorFloor = 0.05;
/** Expected size of a nudge's rotation (radians) and scale change, as a weak prior: few anchors close together must not swing the far vials. Chosen: half a degree, 1 %. */
const turnPrior = 0.01;
/** Gain in the sum of squares that rotation and scale must bring to be used at all: chi-square of 2 at 0.1 %. Else a pure shift is told. */
const turnGain = 13.8;
const cut = 4.685;
/** Rounds by absolute values before the biweight. Chosen: enough to leave the strays behind. */
const absoluteRounds = 8;
/** Steps below this end the fit. Chosen: a thousandth of what a registration knows, pixels (of turns, less than that anywhere in a frame). */
const still = 1e-6;

/**
 * Robust similarity (shift, rotation, scale about the frame's centre) through displacements with their full information matrices, so that an
 * edge counts across itself only. Iteratively reweighted, from absolute values to Tukey's biweight. `null` without displacements.
 */
export function fitSimilarity(displacements: readonly Displacement[]): SimilarityFit | null {
  if (displacements.length === 0) return null;
  const trusted = displacements.map((entry) => ({ ...entry, information: floorInformation(entry.information) }));
  const pure = iterate(trusted, false);
  const full = trusted.length >= 2 ? iterate(trusted, true) : pure;
  if (pure === null || full === null) return null;
  const best = pure.cost - full.cost > turnGain ? full : pure;
  const [dx, dy, a, b] = best.parameters as [number, number, number, number];
  return {
    shift: { dx, dy, rotation: Math.atan2(b, 1 + a), scale: Math.hypot(1 + a, b) },
    weights: best.weights,
  };
}

interface Iterated {
  readonly parameters: ArrayLike<number>;
  readonly cost: number;
  readonly weights: readonly number[];
}

function iterate(entries: readonly Displacement[], turns: boolean): Iterated | null {
  const count = entries.length;
  const weights = new Float64Array(count).fill(1);
  const distances = new Float64Array(count);
  let parameters: ArrayLike<number> = [0, 0, 0, 0];
  const matrix = new Float64Array(16);
  const right = new Float64Array(4);
  const across = Float64Array.of(1, 0, 0, 0);
  const down = Float64Array.of(0, 1, 0, 0);
  for (let round = 0; round < 30; round += 1) {
    matrix.fill(0);
    right.fill(0);
    for (let index = 0; index < count; index += 1) {
      const { x, y, dx, dy, information } = entries[index]!;
      const xx = information[0];
      const xy = information[1];
      const yy = information[2];
      across[2] = x;
      across[3] = -y;
      down[2] = y;
      down[3] = x;
      const weight = weights[index]!;
      for (let i = 0; i < 4; i += 1) {
        const ix = weight * (across[i]! * xx + down[i]! * xy);
        const iy = weight * (across[i]! * xy + down[i]! * yy);
        right[i]! += ix * dx + iy * dy;
        // The factor of the matrix is made of its lower half.
        for (let j = 0; j <= i; j += 1) matrix[4 * i + j]! += ix * across[j]! + iy * down[j]!;
      }
    }
    for (let turn = 2; turn < 4; turn += 1) {
      if (turns) matrix[5 * turn]! += 1 / turnPrior ** 2;
      else {
        for (let other = 0; other < 4; other += 1) matrix[4 * turn + other] = matrix[4 * other + turn] = 0;
        matrix[5 * turn] = 1;
        right[turn] = 0;
      }
    }
    // What no anchor knows (one edge only) stays at no motion: prior of 10 px on the shift.
    for (let shift = 0; shift < 2; shift += 1) matrix[5 * shift]! += 1 / 10 ** 2;
    const factor = cholesky(matrix, 4);
    if (factor === null) return null;
    const solved = solveCholesky(factor, right);
    const settled = round > absoluteRounds && solved.every((value, at) => Math.abs(value - parameters[at]!) < still);
    parameters = solved;
    let known = false;
    for (let index = 0; index < count; index += 1) {
      const distance = mahalanobis(entries[index]!, parameters);
      distances[index] = distance;
      const weight =
        round < absoluteRounds ? 1 / Math.max(1, distance) : distance < cut ? (1 - (distance / cut) ** 2) ** 2 : 0;
      weights[index] = weight;
      if (weight !== 0) known = true;
    }
    // All thrown out: go back to absolute values rather than to nothing.
    if (!known) for (let index = 0; index < count; index += 1) weights[index] = 1 / Math.max(1, distances[index]!);
    if (settled) break;
  }
  const cost = entries.reduce((sum, entry) => sum + Math.min(cut, mahalanobis(entry, parameters)) ** 2, 0);
  return { parameters, cost, weights: [...weights] };
}

function mahalanobis(entry: Displacement, parameters: ArrayLike<number>): number {
  const u = entry.dx - (parameters[0]! + parameters[2]! * entry.x - parameters[3]! * entry.y);
  const v = entry.dy - (parameters[1]! + parameters[2]! * entry.y + parameters[3]! * entry.x);
  const xx = entry.information[0];
  const xy = entry.information[1];
  const yy = entry.information[2];
  return Math.sqrt(Math.max(0, xx * u * u + 2 * xy * u * v + yy * v * v));
}

/** Inverse of (covariance + floor^2): along an edge the information stays near zero. */
function floorInformation([xx, xy, yy]: readonly [number, number, number]): readonly [number, number, number] {
  // W (I + f^2 W)^-1 for a symmetric 2 x 2 matrix W.
  const f = anchorFloor ** 2;
  const determinant = xx * yy - xy * xy;
  const denominator = 1 + f * (xx + yy) + f * f * determinant;
  return [(xx + f * determinant) / denominator, xy / denominator, (yy + f * determinant) / denominator];
}
