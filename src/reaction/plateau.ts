import { medianInPlace } from '../numeric/median-in-place.ts';
import { decode } from './encoded.ts';
import { fitTail } from './exponential-tail.ts';

/** Where a turning vial's colour has come to rest, and how much of the way was then left. */
export interface Plateau {
  /** Indices into the vial's frames: first and last of the beginning of the plateau. */
  readonly from: number;
  readonly to: number;
  /** Share of the way still missing on average over that stretch, 0..0.1, as an exponential approach tells it. */
  readonly remaining: number;
}

type Colour = readonly [number, number, number];

/** Share of the way by which an end colour may drift while the tail is watched (chosen: Cr(III) ages over hours and days). */
const likelyDrift = 0.03;
/** Linear light below which a channel tells nothing of how much was absorbed (chosen: a few times a camera's noise). */
const darkest = 0.003;
/** A vial whose colour moved less than this (encoded units) from the start colour has not turned. Chosen: 5 sd of glass. */
const turnedDistance = 0.12;
/**
 * Missing share of the way below which the plateau begins, and above which at the end no plateau is spoken of (chosen: what is
 * missing is foreseen, and counts as the pin's error as a whole; with more, a wrong law of approach would count more than that).
 */
const beginsBelow = 0.004;
const reachedBelow = 0.1;
/** The same where only written values come to rest in an exponential: a picture drawn so, or dyes that keep to no law. Chosen. */
const reachedAsWritten = 0.015;
/**
 * Ageing is slow against the reaction: a drift under the tail faster than this share of the colour's greatest speed is not
 * ageing but the reaction still going on (chosen; a vial two thirds of the way keeps a third of its speed).
 */
const fastestAgeing = 0.04;
/** Used anew for every median of a few frames. */
const fewValues = new Float64Array(16);

/**
 * Finds the beginning of a plateau: the last part of the way is taken as an exponential approach with a slow straight
 * drift under it (Cr(III) ages), rates tried on a grid, the rest linear. Returns `null` when the vial has not
 * turned or was still on its way at the end.
 *
 * @param timeS ascending, seconds; @param colours encoded colours, one a frame; @param startColour of unreacted reagent
 */
export function findPlateau(timeS: readonly number[], colours: readonly Colour[], startColour: Colour): Plateau | null {
  const count = timeS.length;
  if (count < 6) return null;
  const smooth = colours.map((_, index) => medianColour(colours, index - 2, index + 2));
  const last = medianColour(colours, count - 5, count - 1);
  const way = distance(last, startColour);
  if (way < turnedDistance) return null;
  const tail = smooth.findIndex(
    (colour) => distance(colour, startColour) > 0.75 * way && distance(colour, last) < 0.35 * way,
  );
  if (tail < 0 || count - tail < 5) return null;
  const approach =
    approachIn(absorbed, reachedBelow, timeS, colours, smooth, startColour, tail) ??
    approachIn(written, reachedAsWritten, timeS, colours, smooth, startColour, tail);
  if (approach === null) return null;
  const { rate, missing } = approach;
  let from = tail;
  while (from < count - 3 && missing(from) > beginsBelow) from += 1;
  // long enough to average noise, short enough to see no ageing: a time constant and a half, at least five frames
  let to = Math.min(from + 4, count - 1);
  while (to < count - 1 && timeS[to]! - timeS[from]! < 1.5 / rate) to += 1;
  let sum = 0;
  for (let index = from; index <= to; index += 1) sum += missing(index);
  return { from, to, remaining: sum / (to - from + 1) };
}

interface Approach {
  readonly rate: number;
  /** Share of the way missing at a frame, as foreseen. */
  readonly missing: (index: number) => number;
}

/** The approach to the end in one scale of colours; `null` where more is missing than allowed, or a drift is too quick to be ageing. */
function approachIn(
  scale: (colour: Colour) => readonly number[],
  mostMissing: number,
  timeS: readonly number[],
  colours: readonly Colour[],
  smooth: readonly Colour[],
  startColour: Colour,
  tail: number,
): Approach | null {
  const last = timeS.length - 1;
  const depth = reach(scale(medianColour(colours, last - 4, last)), scale(startColour));
  const fit = fitTail(timeS.slice(tail), colours.slice(tail).map(scale), likelyDrift * depth);
  const missing = (index: number): number => (fit.size * Math.exp(-fit.rate * (timeS[index]! - timeS[tail]!))) / depth;
  if (!(missing(last) <= mostMissing)) return null;
  const drifted = fit.drift * (timeS[last]! - timeS[tail]!);
  const quick = fit.drift > fastestAgeing * greatestSpeed(timeS, smooth.map(scale));
  return drifted > 0.02 * depth && quick ? null : { rate: fit.rate, missing };
}

/** Greatest speed of the smoothed colour over a twentieth of the frames, units of its scale a second. */
function greatestSpeed(timeS: readonly number[], smooth: readonly (readonly number[])[]): number {
  const stride = Math.max(2, Math.round(timeS.length / 20));
  let greatest = 0;
  for (let index = stride; index < timeS.length; index += 1) {
    const speed = reach(smooth[index]!, smooth[index - stride]!) / (timeS[index]! - timeS[index - stride]!);
    greatest = Math.max(greatest, speed);
  }
  return greatest;
}

/**
 * What red and green lost to the solution, as natural logarithms: nearly in step with extent (Beer and Lambert), as written
 * values are not. Blue is left out: it rises from nothing, and not in step with anything.
 */
function absorbed(colour: Colour): readonly [number, number] {
  return [Math.log(Math.max(darkest, decode(colour[0]))), Math.log(Math.max(darkest, decode(colour[1])))];
}

function written(colour: Colour): readonly number[] {
  return colour;
}

function reach(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(...a.map((value, channel) => value - b[channel]!));
}

export function medianColour(
  colours: readonly (readonly [number, number, number])[],
  from: number,
  to: number,
): readonly [number, number, number] {
  const first = Math.max(0, from);
  const count = Math.max(0, Math.min(colours.length, to + 1) - first);
  const values = count <= fewValues.length ? fewValues : new Float64Array(count);
  const middle = (channel: number): number => {
    for (let place = 0; place < count; place += 1) values[place] = colours[first + place]![channel]!;
    return medianInPlace(values, count);
  };
  return [middle(0), middle(1), middle(2)];
}

export function distance(a: readonly [number, number, number], b: readonly [number, number, number]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
