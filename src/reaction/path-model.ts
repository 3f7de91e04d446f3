import { createRandom } from '../numeric/random.ts';
import { solveTransposed } from '../numeric/cholesky.ts';
import { interpolate } from '../numeric/interpolate.ts';
import type { PathFit } from './fit-path.ts';
import { encodedPath, nearestExtent, type EncodedPath } from './nearest-extent.ts';
import { pathExtents, type PathPhysics } from './path-physics.ts';
import type { Triple } from './vial-colours.ts';
import { vialPaths as pathsOfVials, type VialLayout } from './vial-layout.ts';

/** A solved path ready to read extents from. */
export interface PathModel {
  /** The run's path: linear RGB (three values an extent) on {@link pathExtents}. */
  readonly linear: ArrayLike<number>;
  /** Each vial's own path, encoded, in vial order. */
  readonly vialPaths: readonly EncodedPath[];
  /** Shared path error, see ColourPath.draws, on {@link pathExtents}. */
  readonly draws: readonly (readonly number[])[];
  /** Standard error of each vial's extents from its own brightness and light path; `null` unknown. */
  readonly vialSe: readonly (number | null)[];
  /** Degrees of freedom by which the spread of glass behind `vialSe` was learnt; `null`: not learnt. */
  readonly vialSeDf: number | null;
}

/** Enough for standard errors to about 12 % (1/sqrt(2n)); each costs one evaluation of the path. */
const drawCount = 32;
const evenSd: Triple = [1, 1, 1];

/** Path, vials' own paths and error draws from the fit's posterior (normal approximation at the optimum). */
export function pathModel(
  physics: PathPhysics,
  fit: PathFit,
  layout: VialLayout,
  glassDf: number,
  typicalColours: readonly (Triple | null)[],
): PathModel {
  const { parameters, linear, byLogPath } = fit;
  const vialPaths = pathsOfVials(parameters, linear, byLogPath, layout);
  const typical = typicalColours.map((colour, vial) =>
    colour === null ? null : nearestExtent(vialPaths[vial]!, colour, evenSd, null).extent,
  );
  const runPath = encodedPath(linear, null, 0, 0).map((value) => Math.min(1, Math.max(0, value)));

  const random = createRandom('path-draws');
  const draws: number[][] = [];
  const vialSquares = typicalColours.map(() => 0);
  for (let draw = 0; draw < drawCount; draw += 1) {
    const normal = Float64Array.from({ length: parameters.length }, () => random.normal());
    const move = solveTransposed(fit.precision, normal);
    const moved = parameters.map((value, index) => value + move[index]!);
    const movedLinear = physics.colours(moved);
    const movedRun = encodedPath(movedLinear, null, 0, 0);
    const shift = pathExtents.map((extent, place) => {
      const colour = [runPath[place * 3]!, runPath[place * 3 + 1]!, runPath[place * 3 + 2]!];
      return nearestExtent(movedRun, colour, evenSd, null).extent - extent;
    });
    draws.push(shift);
    const movedPaths = pathsOfVials(moved, movedLinear, byLogPath, layout);
    typicalColours.forEach((colour, vial) => {
      if (colour === null) return;
      const extent = nearestExtent(movedPaths[vial]!, colour, evenSd, null).extent;
      vialSquares[vial]! += (extent - typical[vial]! - interpolate(pathExtents, shift, typical[vial]!)) ** 2;
    });
  }
  return {
    linear,
    vialPaths,
    draws,
    vialSe: typical.map((extent, vial) => (extent === null ? null : Math.sqrt(vialSquares[vial]! / drawCount))),
    vialSeDf: glassDf,
  };
}
