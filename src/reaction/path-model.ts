import { cholesky, solveTransposed } from '../numeric/cholesky.ts';
import { exactDraws } from '../numeric/exact-draws.ts';
import { interpolate } from '../numeric/interpolate.ts';
import { principalComponents } from '../numeric/principal-components.ts';
import { createRandom } from '../numeric/random.ts';
import { encode, encodeSlope, lowest } from './encoded.ts';
import { pathDerivatives, type PathFit } from './fit-path.ts';
import { modelSd } from './model-sd.ts';
import { nearestExtent, type EncodedPath } from './nearest-extent.ts';
import { mixtureSd } from './observations.ts';
import { parameterCount } from './path-misfit.ts';
import type { PathParameter } from './path-parameters.ts';
import { pathExtents, type PathPhysics } from './path-physics.ts';
import type { Triple } from './vial-colours.ts';
import { vialAt, vialPaths as pathsOfVials, type VialLayout } from './vial-layout.ts';

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

/** Draws carry the posterior's covariance exactly, so that more would only show more of its directions. Chosen: far more than it has of any size. */
const drawCount = 32;

/**
 * What the model leaves out, such as the true shapes of bands and sensitivities, bends the path between its ends in ways the posterior
 * does not know: sines of so many half-waves and of these standard deviations, extent. Measured on 200 racks of two physics: root mean
 * squares of such sines in the path's error were 0.004, 0.003 and 0.0014 (racks with mixtures 0.0023, 0.002 and 0.001). Without them,
 * kinetics took such bends for the arch that a wrong constant makes: constants of forward-modelled racks were off by 5.8 %, now by 4.0 % (median).
 */
const bends: readonly { readonly halfWaves: number; readonly sd: number }[] = [
  { halfWaves: 2, sd: 0.004 },
  { halfWaves: 3, sd: 0.003 },
  { halfWaves: 4, sd: 0.002 },
];

/** How far an extent read on the path moves for a unit of each unknown, by extent of the grid. */
interface Response {
  /** One list over the grid for every path unknown. */
  readonly shared: readonly (readonly number[])[];
  /** For a vial's log brightness and log light path. */
  readonly brightness: readonly number[];
  readonly lightPath: readonly number[];
}

/**
 * Path, vials' own paths and error draws from the fit's posterior, normal about the optimum. Draws are carried to extents by
 * the path's derivatives: unknowns that trade against each other along a bent valley would leave it in straight steps.
 * @param pinned extents of the mixtures that hold the path in between
 */
export function pathModel(
  physics: PathPhysics,
  prior: readonly PathParameter[],
  fit: PathFit,
  layout: VialLayout,
  glassDf: number,
  typicalColours: readonly (Triple | null)[],
  pinned: readonly number[],
): PathModel {
  const { parameters, linear, byLogPath } = fit;
  const vialPaths = pathsOfVials(parameters, linear, byLogPath, layout);
  const typical = typicalColours.map((colour, vial) =>
    colour === null ? null : nearestExtent(vialPaths[vial]!, colour, modelSd, null).extent,
  );
  const response = responseOf(pathDerivatives(physics, prior, fit), linear, byLogPath);
  const at = (list: readonly number[], extent: number): number => interpolate(pathExtents, list, extent);

  const count = parameters.length;
  const vialSquares = typicalColours.map(() => 0);
  // each unknown's own share of what the posterior is about: the columns of a root of its covariance
  const shares = Array.from({ length: count }, (_, which) => {
    const move = solveTransposed(
      fit.precision,
      Float64Array.from({ length: count }, (__, index) => (index === which ? 1 : 0)),
    );
    const own = Array.from({ length: layout.count }, (__, vial) => vialAt(move, layout, vial));
    const mean = (of: (vial: (typeof own)[number]) => number): number =>
      own.reduce((sum, vial) => sum + of(vial), 0) / Math.max(1, layout.count);
    // brightness of the run and the vials' own trade against each other: the common error is that of the mean vial
    const brightness = mean(({ logBrightness }) => logBrightness);
    const lightPath = mean(({ logPath }) => logPath);
    typical.forEach((extent, vial) => {
      if (extent === null) return;
      const { logBrightness, logPath } = own[vial]!;
      const apart =
        (logBrightness - brightness) * at(response.brightness, extent) +
        (logPath - lightPath) * at(response.lightPath, extent);
      vialSquares[vial]! += apart ** 2;
    });
    return pathExtents.map((_, place) => {
      let sum = brightness * response.brightness[place]! + lightPath * response.lightPath[place]!;
      for (let index = 0; index < parameterCount; index += 1) sum += move[index]! * response.shared[index]![place]!;
      return sum;
    });
  });
  const errors = [...shares, ...bendsBetween(pinned)];
  const scaled = errors.map((error) => error.map((value) => value * Math.sqrt(errors.length)));
  const draws = exactDraws(principalComponents(scaled, drawCount, 0), drawCount, createRandom('path-draws'));
  return {
    linear,
    vialPaths,
    draws,
    vialSe: typical.map((extent, vial) => (extent === null ? null : Math.sqrt(vialSquares[vial]!))),
    vialSeDf: glassDf,
  };
}

/**
 * The sines as far as mixtures, whose extent is known to `mixtureSd`, leave them: independent parts over the grid, one standard
 * deviation each. None at the ends and beyond.
 */
function bendsBetween(pinned: readonly number[]): readonly (readonly number[])[] {
  const size = bends.length;
  const sine = (which: number, extent: number): number => Math.sin(bends[which]!.halfWaves * Math.PI * extent);
  const precision = bends.flatMap(({ sd }, row) =>
    bends.map((_, column) =>
      pinned.reduce(
        (sum, extent) => sum + (sine(row, extent) * sine(column, extent)) / mixtureSd ** 2,
        row === column ? 1 / sd ** 2 : 0,
      ),
    ),
  );
  const factor = cholesky(precision, size)!;
  return bends.map((_, part) => {
    const sizes = solveTransposed(
      factor,
      bends.map((__, which) => (which === part ? 1 : 0)),
    );
    return pathExtents.map((extent) =>
      extent <= 0 || extent >= 1 ? 0 : bends.reduce((sum, __, which) => sum + sizes[which]! * sine(which, extent), 0),
    );
  });
}

/** Movement along the path, weighed as colours are read: -(t' W j) / (t' W t) with tangent t and change of colour j. */
function responseOf(
  derivatives: readonly ArrayLike<number>[],
  linear: ArrayLike<number>,
  byLogPath: ArrayLike<number>,
): Response {
  const weights = modelSd.map((sd) => 1 / sd ** 2);
  const last = pathExtents.length - 1;
  const along = (change: (place: number, channel: number) => number): number[] =>
    pathExtents.map((_, place) => {
      const from = Math.max(0, place - 1);
      const to = Math.min(last, place + 1);
      let projected = 0;
      let length = 0;
      for (let channel = 0; channel < 3; channel += 1) {
        const light = linear[place * 3 + channel]!;
        // cut-off channels tell nothing, on this side of the path as on the colour's
        if (encode(light) < lowest) continue;
        const tangent =
          (encode(linear[to * 3 + channel]!) - encode(linear[from * 3 + channel]!)) /
          (pathExtents[to]! - pathExtents[from]!);
        projected += weights[channel]! * tangent * encodeSlope(light) * change(place, channel);
        length += weights[channel]! * tangent * tangent;
      }
      return length > 0 ? -projected / length : 0;
    });
  return {
    shared: derivatives.map((derivative) => along((place, channel) => derivative[place * 3 + channel]!)),
    brightness: along((place, channel) => linear[place * 3 + channel]!),
    lightPath: along((place, channel) => byLogPath[place * 3 + channel]!),
  };
}
