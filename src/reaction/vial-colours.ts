import type { Role } from '../model/run.ts';
import { encode, encodeSlope } from './encoded.ts';

export type Triple = readonly [number, number, number];

/** One vial's colours on their way to extents; arrays over the used frames. */
export interface VialColours {
  readonly region: string;
  readonly role: Role;
  /** Known extent of a `mixture`. */
  readonly knownExtent: number | null;
  /** Centre from the frame's centre, half a diagonal of the frame = 1: light falls off with it. */
  readonly place: readonly [x: number, y: number];
  /** Seconds since this vial's reagent was added; negative before. */
  readonly timeS: readonly number[];
  /** Linear RGB against the neutral patch, and its standard error; `null`: not to be used in that frame. */
  readonly rgb: readonly (Triple | null)[];
  readonly se: readonly (Triple | null)[];
}

/** The usable frames of one vial after dosing, encoded. */
export interface EncodedVial {
  /** Positions in the vial's arrays. */
  readonly frame: readonly number[];
  readonly timeS: readonly number[];
  readonly colour: readonly Triple[];
  /** Standard errors of the encoded colours. */
  readonly se: readonly Triple[];
}

export function encodeVial(vial: VialColours): EncodedVial {
  const frame: number[] = [];
  vial.rgb.forEach((rgb, index) => {
    if (rgb !== null && vial.timeS[index]! >= 0) frame.push(index);
  });
  return {
    frame,
    timeS: frame.map((index) => vial.timeS[index]!),
    colour: frame.map((index) => {
      const [red, green, blue] = vial.rgb[index]!;
      return [written(red), written(green), written(blue)];
    }),
    se: frame.map((index) => {
      const rgb = vial.rgb[index]!;
      const se = vial.se[index] ?? [0, 0, 0];
      const at = (channel: 0 | 1 | 2): number => se[channel] * encodeSlope(Math.max(rgb[channel], 0.002));
      return [at(0), at(1), at(2)];
    }),
  };
}

/** Encoded as the camera would write it: nothing below black, but brighter than the patch is allowed. */
function written(linear: number): number {
  return Math.max(0, encode(linear));
}
