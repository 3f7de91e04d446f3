import type { ColourPath } from '../model/extent.ts';
import { interpolate } from '../numeric/interpolate.ts';
import { encode } from './encoded.ts';
import type { PathData } from './observations.ts';
import { withOwnBrightness } from './own-brightness.ts';
import type { PathModel } from './path-model.ts';
import { pathExtents } from './path-physics.ts';
import { distance } from './plateau.ts';
import type { Triple } from './vial-colours.ts';
import type { ShadingPrior } from './vial-layout.ts';

/** Further off than this (encoded units) a saved path no longer describes the run: a tenth of a typical way. Chosen. */
const misfit = 0.05;

/**
 * A saved path on this run's brightness: one factor from the blanks and clean negatives (none: as saved).
 * Says in notes when the run's start or end colour no longer fits it.
 */
export function reuseSavedPath(
  saved: ColourPath,
  data: PathData,
  places: readonly (readonly [number, number])[],
  shading: ShadingPrior,
): { readonly model: PathModel; readonly notes: ColourPath['notes'] } {
  const channel = (which: 0 | 1 | 2): readonly number[] => saved.linearRgb.map((rgb) => rgb[which]);
  const at = (extent: number): Triple => [
    extrapolate(saved.extent, channel(0), extent),
    extrapolate(saved.extent, channel(1), extent),
    extrapolate(saved.extent, channel(2), extent),
  ];
  const start = at(0);
  const factor = data.startColour === null ? 1 : (data.startColour[0] / Math.max(0.01, encode(start[0]))) ** 2.2;
  const linear = Float64Array.from(pathExtents.flatMap((extent) => at(extent).map((value) => factor * value)));
  const encoded = linear.map(encode);
  const notes: ColourPath['notes'][number][] = [];
  const check = (end: 'start' | 'end', colour: Triple | null, extent: number): void => {
    if (colour === null) return;
    const place = pathExtents.indexOf(extent);
    const expected: Triple = [
      Math.max(0, encoded[place * 3]!),
      Math.max(0, encoded[place * 3 + 1]!),
      Math.max(0, encoded[place * 3 + 2]!),
    ];
    const off = distance(expected, colour);
    if (off <= misfit) return;
    notes.push({
      code: `saved-path-${end}`,
      severity: 'fail',
      message: `the saved path's ${end} colour differs from this run's by ${off.toFixed(2)} (encoded RGB; ${misfit} is allowed): rig, light or reagent changed`,
    });
  };
  check('start', data.startColour, 0);
  check('end', data.endColour, 1);
  if (data.startColour !== null && Math.abs(Math.log(factor)) > 0.2) {
    notes.push({
      code: 'saved-path-brightness',
      severity: 'warn',
      message: `the blank is ${factor.toFixed(2)} times as bright as on the saved path`,
    });
  }
  return {
    model: {
      linear,
      vialPaths: withOwnBrightness(linear, data.observations, places, shading),
      draws: saved.draws.map((draw) => pathExtents.map((extent) => interpolate(saved.extent, draw, extent))),
      vialSe: places.map(() => null),
      vialSeDf: null,
    },
    notes,
  };
}

function extrapolate(grid: readonly number[], values: readonly number[], at: number): number {
  const last = grid.length - 1;
  const [from, to] = at < grid[0]! ? [0, 1] : [last - 1, last];
  if (at >= grid[0]! && at <= grid[last]!) return interpolate(grid, values, at);
  const slope = (values[to]! - values[from]!) / (grid[to]! - grid[from]!);
  return values[to]! + slope * (at - grid[to]!);
}
