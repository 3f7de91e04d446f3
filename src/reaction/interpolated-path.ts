import { createRandom } from '../numeric/random.ts';
import { exactDraws } from '../numeric/exact-draws.ts';
import { interpolate } from '../numeric/interpolate.ts';
import { decode } from './encoded.ts';
import type { PathData } from './observations.ts';
import type { PathModel } from './path-model.ts';
import { pathExtents } from './path-physics.ts';

/**
 * Standard deviation of mid-curve extent when the way between two pins is unknown. Measured on modelled acid dichromate
 * paths: straight lines between the ends are off by up to 0.3 in the middle.
 */
const midError = 0.15;

/**
 * A path for a reaction without spectra: straight lines on the encoded scale between the colours of its pins
 * (start, mixtures, end). `null` without a start and an end colour. Vials share one path; its error is stated as wide.
 */
export function interpolatedPath(data: PathData, vialCount: number): PathModel | null {
  if (data.startColour === null || data.endColour === null) return null;
  const knots = [
    { extent: 0, colour: data.startColour },
    ...data.observations
      .filter(({ pin }) => pin !== null && pin.extent > 0.02 && pin.extent < 0.97)
      .map(({ pin, colour }) => ({ extent: pin!.extent, colour })),
    { extent: 1, colour: data.endColour },
  ].sort((a, b) => a.extent - b.extent);
  const extents = knots.map(({ extent }) => extent);
  const at = (extent: number, channel: 0 | 1 | 2): number => {
    const values = knots.map(({ colour }) => colour[channel]);
    const inside = Math.min(1, Math.max(0, extent));
    const end = extent > inside ? knots.length - 2 : 0;
    const slope = (values[end + 1]! - values[end]!) / (extents[end + 1]! - extents[end]!);
    return interpolate(extents, values, inside) + slope * (extent - inside);
  };
  const encoded = Float64Array.from(pathExtents.flatMap((extent) => [at(extent, 0), at(extent, 1), at(extent, 2)]));
  // as high as it may be off, and leaning to one side by half of that
  const errors = [
    pathExtents.map((extent) => midError * gapShape(extents, extent)),
    pathExtents.map((extent) => 0.5 * midError * (extent - 0.5) * gapShape(extents, extent)),
  ];
  const draws = exactDraws(errors, 32, createRandom('interpolated-path'));
  return {
    linear: encoded.map(decode),
    vialPaths: Array.from({ length: vialCount }, () => encoded),
    draws,
    vialSe: Array.from({ length: vialCount }, () => null),
    vialSeDf: null,
  };
}

/** 0 at pins, rising to the square of the gap's width in its middle. */
function gapShape(pins: readonly number[], extent: number): number {
  const above = pins.findIndex((pin) => pin > extent);
  if (above <= 0) return 0;
  const low = pins[above - 1]!;
  const width = pins[above]! - low;
  const share = (extent - low) / width;
  return 4 * share * (1 - share) * width;
}
