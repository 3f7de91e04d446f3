import { cholesky, solveCholesky } from '../numeric/cholesky.ts';
import type { PathObservation } from './fit-path.ts';
import { physicsSd } from './model-sd.ts';
import { encodedPath, nearestExtent, type EncodedPath } from './nearest-extent.ts';
import { type ShadingPrior, vialLayout } from './vial-layout.ts';

/** Spread of vials' brightness (log) about what their place explains. Chosen: as at the start of a fitted path. */
const glassSd = 0.015;
/** Brightness tried, log: -30 % to +30 % in steps of half a percent. */
const candidates = Array.from({ length: 121 }, (_, index) => (index - 60) / 200);

/**
 * Each vial's own path when the run's path is given: brightness is the only freedom. Vials whose extent is known apart from it
 * (pinned) tell how light falls off over the frame; every vial then has its brightness near what its place says.
 * @param places centre of each vial from the frame's centre, half a diagonal = 1
 */
export function withOwnBrightness(
  linear: ArrayLike<number>,
  observations: readonly PathObservation[],
  places: readonly (readonly [number, number])[],
  prior: ShadingPrior,
): readonly EncodedPath[] {
  const paths = candidates.map((log) => encodedPath(linear, null, log, 0));
  const best = (vial: number, expected: number, sd: number): number => {
    const own = observations.filter((one) => one.vial === vial);
    let least = Infinity;
    let found = 0;
    paths.forEach((path, index) => {
      let cost = ((candidates[index]! - expected) / sd) ** 2;
      for (const one of own) cost += nearestExtent(path, one.colour, physicsSd, one.pin).cost;
      if (cost < least) {
        least = cost;
        found = index;
      }
    });
    return found;
  };
  const known = places
    .map((_, vial) => vial)
    .filter((vial) => observations.some((one) => one.vial === vial && one.pin !== null))
    .map((vial) => ({ vial, brightness: candidates[best(vial, 0, 0.1)]! }));
  const shading = fitShading(places, known, prior);
  return places.map((_, vial) => paths[best(vial, shading(vial), glassSd)]!);
}

/** Log brightness by place, least squares with the priors of the shading terms; 0 without known vials. */
function fitShading(
  places: readonly (readonly [number, number])[],
  known: readonly { readonly vial: number; readonly brightness: number }[],
  prior: ShadingPrior,
): (vial: number) => number {
  const terms = vialLayout(places, { brightness: glassSd, path: 0 }, prior).shading.map((term) => [1, ...term]);
  const priorMean = [0, ...prior.mean];
  const priorSd = [0.1, ...prior.sd];
  const size = priorSd.length;
  const matrix = new Float64Array(size * size);
  const right = new Float64Array(size);
  priorSd.forEach((sd, index) => {
    matrix[index * size + index]! += 1 / sd ** 2;
    right[index]! += priorMean[index]! / sd ** 2;
  });
  for (const { vial, brightness } of known) {
    const row = terms[vial]!;
    row.forEach((value, i) => {
      right[i]! += (value * brightness) / glassSd ** 2;
      row.forEach((other, j) => (matrix[i * size + j]! += (value * other) / glassSd ** 2));
    });
  }
  const factor = cholesky(matrix, size);
  const solution = factor === null ? new Float64Array(size) : solveCholesky(factor, right);
  return (vial) => terms[vial]!.reduce((sum, value, index) => sum + value * solution[index]!, 0);
}
