import type { RegionColours } from '../../src/model/measurement.ts';
import type { Point } from '../../src/model/region.ts';
import { createRandom } from '../../src/numeric/random.ts';

type Three = readonly [number, number, number];

/** A region's columns from a course of linear colours, with relative noise of its own. */
export function columns(
  id: string,
  kind: 'vial' | 'white',
  frames: number,
  of: (frame: number) => Three | null,
  noise = 0.001,
): RegionColours {
  const random = createRandom(id);
  const drawn = Array.from({ length: frames }, (_, frame) => {
    const rgb = of(frame);
    return rgb === null ? null : rgb.map((value) => value * (1 + noise * random.normal()));
  });
  const column = (channel: number): (number | null)[] => drawn.map((rgb) => (rgb === null ? null : rgb[channel]!));
  const error = (channel: number): (number | null)[] =>
    drawn.map((rgb) => (rgb === null ? null : noise * rgb[channel]!));
  const clipped = (channel: number): (number | null)[] =>
    drawn.map((rgb) => (rgb === null ? null : rgb[channel]! >= 1 ? 1 : 0));
  const constant = (value: number): (number | null)[] => drawn.map((rgb) => (rgb === null ? null : value));
  return {
    id,
    kind,
    red: column(0),
    green: column(1),
    blue: column(2),
    redSe: error(0),
    greenSe: error(1),
    blueSe: error(2),
    redClipped: clipped(0),
    greenClipped: clipped(1),
    blueClipped: clipped(2),
    leftOut: constant(0),
    samples: constant(1000),
    halvesDeltaE: constant(0),
    texture: constant(0.005),
    meniscusY: constant(100),
  };
}

export const frame = { width: 1000, height: 600 };
export const frames = 120;
export const timeRunS = Array.from({ length: frames }, (_, index) => 60 * index);

/** A vial going from orange to green, `rate` per frame; 0 stays orange. */
export const reacting =
  (rate: number) =>
  (at: number): Three => {
    const extent = 1 - Math.exp(-rate * at);
    return [0.55 - 0.45 * extent, 0.25 - 0.03 * extent, 0.05 + 0.07 * extent];
  };
/** A neutral patch seen under a slightly warm light. */
export const patchLevel: Three = [0.62, 0.58, 0.5];

/** Twelve vials and their places in two rows; the light's course multiplies all. */
export function rack(light: (frame: number, place: Point) => Three): {
  vials: RegionColours[];
  centres: Record<string, Point>;
} {
  const centres: Record<string, Point> = {};
  const vials = Array.from({ length: 12 }, (_, index) => {
    const id = `V${index + 1}`;
    const place: Point = [150 + 140 * (index % 6), index < 6 ? 200 : 420];
    centres[id] = place;
    const course = reacting([0, 0.002, 0.01, 0.05][index % 4]!);
    return columns(id, 'vial', frames, (at) => times(course(at), light(at, place)));
  });
  return { vials, centres };
}

export const times = (rgb: Three, gains: Three): Three => [rgb[0] * gains[0], rgb[1] * gains[1], rgb[2] * gains[2]];
