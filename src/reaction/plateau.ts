import { decode } from './encoded.ts';

/** Where a turning vial's colour has come to rest, and how much of the way was then left. */
export interface Plateau {
  /** Indices into the vial's frames: first and last of the beginning of the plateau. */
  readonly from: number;
  readonly to: number;
  /** Share of the way still missing on average over that stretch, 0..0.1, as an exponential approach tells it. */
  readonly remaining: number;
}

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
/**
 * Ageing is slow against the reaction: a drift under the tail faster than this share of the colour's greatest speed is not
 * ageing but the reaction still going on (chosen; a vial two thirds of the way keeps a third of its speed).
 */
const fastestAgeing = 0.04;

/**
 * Finds the beginning of a plateau: the last part of the way is taken as an exponential approach with a slow straight
 * drift under it (Cr(III) ages), rates tried on a grid, the rest linear. Returns `null` when the vial has not
 * turned or was still on its way at the end.
 *
 * @param timeS ascending, seconds; @param colours encoded colours, one a frame; @param startColour of unreacted reagent
 */
export function findPlateau(
  timeS: readonly number[],
  colours: readonly (readonly [number, number, number])[],
  startColour: readonly [number, number, number],
): Plateau | null {
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
  const depth = reach(absorbed(last), absorbed(startColour));
  const fit = fitTail(timeS.slice(tail), colours.slice(tail).map(absorbed), likelyDrift * depth);
  const missing = (index: number): number => (fit.size * Math.exp(-fit.rate * (timeS[index]! - timeS[tail]!))) / depth;
  if (missing(count - 1) > reachedBelow) return null;
  const drifted = fit.drift * (timeS[count - 1]! - timeS[tail]!);
  if (drifted > 0.02 * depth && fit.drift > fastestAgeing * greatestSpeed(timeS, smooth.map(absorbed))) return null;
  let from = tail;
  while (from < count - 3 && missing(from) > beginsBelow) from += 1;
  // long enough to average noise, short enough to see no ageing: a time constant and a half, at least five frames
  let to = Math.min(from + 4, count - 1);
  while (to < count - 1 && timeS[to]! - timeS[from]! < 1.5 / fit.rate) to += 1;
  let sum = 0;
  for (let index = from; index <= to; index += 1) sum += missing(index);
  return { from, to, remaining: sum / (to - from + 1) };
}

/** Greatest speed of the smoothed colour over a twentieth of the frames, encoded units a second. */
function greatestSpeed(timeS: readonly number[], smooth: readonly (readonly [number, number])[]): number {
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
function absorbed(colour: readonly [number, number, number]): readonly [number, number] {
  return [Math.log(Math.max(darkest, decode(colour[0]))), Math.log(Math.max(darkest, decode(colour[1])))];
}

function reach(a: readonly [number, number], b: readonly [number, number]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

interface Tail {
  readonly rate: number;
  /** Length of the exponential part at the tail's start, encoded units. */
  readonly size: number;
  readonly drift: number;
}

/**
 * The tail's rate, size and drift. Before the plateau is long, a slower approach and a drift look alike: the drift is held
 * near zero by what the scatter of a freer fit allows.
 *
 * @param driftSd how far ageing may take the end over the tail, in the colours' units
 */
function fitTail(timeS: readonly number[], colours: readonly (readonly [number, number])[], driftSd: number): Tail {
  const least = 1e-3 * timeS.length;
  const variance = fitTailWith(timeS, colours, least).cost / Math.max(1, 2 * timeS.length - 7);
  return fitTailWith(timeS, colours, Math.max(least, variance / driftSd ** 2));
}

interface PenalisedTail extends Tail {
  readonly cost: number;
}

function fitTailWith(
  timeS: readonly number[],
  colours: readonly (readonly [number, number])[],
  ridge: number,
): PenalisedTail {
  const begin = timeS[0]!;
  const span = timeS[timeS.length - 1]! - begin;
  const channels = [0, 1].map((channel) => Float64Array.from(colours, (colour) => colour[channel]!));
  const straight = Float64Array.from(timeS, (time) => (time - begin) / span);
  const falling = new Float64Array(timeS.length);
  let best: PenalisedTail | null = null;
  for (let step = 0; step <= 40; step += 1) {
    const rate = (0.3 * 10 ** (step / 13)) / span;
    for (let index = 0; index < falling.length; index += 1) falling[index] = Math.exp(-rate * (timeS[index]! - begin));
    const solve = leastSquares3(falling, straight, ridge);
    let cost = 0;
    let size = 0;
    let drift = 0;
    for (const values of channels) {
      const solution = solve(values);
      if (solution === null) {
        cost = Infinity;
        break;
      }
      const [level, ofFalling, ofStraight] = solution;
      size += ofFalling ** 2;
      drift += ofStraight ** 2;
      cost += ridge * ofStraight ** 2;
      for (let index = 0; index < values.length; index += 1) {
        cost += (values[index]! - level - falling[index]! * ofFalling - straight[index]! * ofStraight) ** 2;
      }
    }
    if (best === null || cost < best.cost) best = { rate, size: Math.sqrt(size), drift: Math.sqrt(drift) / span, cost };
  }
  return best!;
}

/** Normal equations of a constant and two columns, solved for any values; a ridge keeps the second near zero where it cannot be told. */
function leastSquares3(
  first: Float64Array,
  second: Float64Array,
  ridge: number,
): (values: Float64Array) => readonly [number, number, number] | null {
  const count = first.length;
  const m = new Float64Array(9);
  for (let index = 0; index < count; index += 1) {
    const [a, b] = [first[index]!, second[index]!];
    m[0]! += 1;
    m[1]! += a;
    m[2]! += b;
    m[4]! += a * a;
    m[5]! += a * b;
    m[8]! += b * b;
  }
  [m[3], m[6], m[7]] = [m[1]!, m[2]!, m[5]!];
  m[8]! += ridge;
  m[4]! += 1e-9 * count;
  const minor = (a: number, b: number, c: number, d: number): number => m[a]! * m[d]! - m[b]! * m[c]!;
  const determinant = m[0]! * minor(4, 5, 7, 8) - m[1]! * minor(3, 5, 6, 8) + m[2]! * minor(3, 4, 6, 7);
  const v = new Float64Array(3);
  const replace = (column: number): number => {
    const n = m.map((value, index) => (index % 3 === column ? v[Math.floor(index / 3)]! : value));
    return (
      n[0]! * (n[4]! * n[8]! - n[5]! * n[7]!) -
      n[1]! * (n[3]! * n[8]! - n[5]! * n[6]!) +
      n[2]! * (n[3]! * n[7]! - n[4]! * n[6]!)
    );
  };
  return (values) => {
    if (!(Math.abs(determinant) > 1e-300)) return null;
    v.fill(0);
    for (let index = 0; index < count; index += 1) {
      v[0]! += values[index]!;
      v[1]! += first[index]! * values[index]!;
      v[2]! += second[index]! * values[index]!;
    }
    return [replace(0) / determinant, replace(1) / determinant, replace(2) / determinant];
  };
}

export function medianColour(
  colours: readonly (readonly [number, number, number])[],
  from: number,
  to: number,
): readonly [number, number, number] {
  const first = Math.max(0, from);
  const sorted = new Float64Array(Math.max(0, Math.min(colours.length, to + 1) - first));
  const half = sorted.length >> 1;
  const middle = (channel: number): number => {
    for (let place = 0; place < sorted.length; place += 1) sorted[place] = colours[first + place]![channel]!;
    sorted.sort();
    return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
  };
  return [middle(0), middle(1), middle(2)];
}

export function distance(a: readonly [number, number, number], b: readonly [number, number, number]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
