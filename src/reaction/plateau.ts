/** Where a turning vial's colour has come to rest, and how much of the way was then left. */
export interface Plateau {
  /** Indices into the vial's frames: first and last of the beginning of the plateau. */
  readonly from: number;
  readonly to: number;
  /** Share of the colour's way still missing on average over that stretch, 0..0.02. */
  readonly remaining: number;
  /** Colour change after the plateau began, per hour, against the whole way (ageing of the end colour). */
  readonly ageingPerHour: number;
}

/** A vial whose colour moved less than this (encoded units) from the start colour has not turned. Chosen: 5 sd of glass. */
const turnedDistance = 0.12;
/** Missing share of the way below which the plateau begins, and above which at the end no plateau was reached (chosen). */
const beginsBelow = 0.004;
const reachedBelow = 0.015;
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
  const fit = fitTail(timeS.slice(tail), colours.slice(tail));
  const missing = (index: number): number => (fit.size * Math.exp(-fit.rate * (timeS[index]! - timeS[tail]!))) / way;
  if (missing(count - 1) > reachedBelow) return null;
  const drifted = fit.drift * (timeS[count - 1]! - timeS[tail]!);
  if (drifted > 0.02 * way && fit.drift > fastestAgeing * greatestSpeed(timeS, smooth)) return null;
  let from = tail;
  while (from < count - 3 && missing(from) > beginsBelow) from += 1;
  // long enough to average noise, short enough to see no ageing: a time constant and a half, at least five frames
  let to = Math.min(from + 4, count - 1);
  while (to < count - 1 && timeS[to]! - timeS[from]! < 1.5 / fit.rate) to += 1;
  let sum = 0;
  for (let index = from; index <= to; index += 1) sum += missing(index);
  return { from, to, remaining: sum / (to - from + 1), ageingPerHour: (fit.drift * 3600) / way };
}

/** Greatest speed of the smoothed colour over a twentieth of the frames, encoded units a second. */
function greatestSpeed(timeS: readonly number[], smooth: readonly (readonly [number, number, number])[]): number {
  const stride = Math.max(2, Math.round(timeS.length / 20));
  let greatest = 0;
  for (let index = stride; index < timeS.length; index += 1) {
    const speed = distance(smooth[index]!, smooth[index - stride]!) / (timeS[index]! - timeS[index - stride]!);
    greatest = Math.max(greatest, speed);
  }
  return greatest;
}

interface Tail {
  readonly rate: number;
  /** Length of the exponential part at the tail's start, encoded units. */
  readonly size: number;
  readonly drift: number;
}

function fitTail(timeS: readonly number[], colours: readonly (readonly [number, number, number])[]): Tail {
  const begin = timeS[0]!;
  const span = timeS[timeS.length - 1]! - begin;
  const channels = [0, 1, 2].map((channel) => Float64Array.from(colours, (colour) => colour[channel]!));
  const straight = Float64Array.from(timeS, (time) => (time - begin) / span);
  const falling = new Float64Array(timeS.length);
  let best: (Tail & { readonly cost: number }) | null = null;
  for (let step = 0; step <= 40; step += 1) {
    const rate = (0.3 * 10 ** (step / 13)) / span;
    for (let index = 0; index < falling.length; index += 1) falling[index] = Math.exp(-rate * (timeS[index]! - begin));
    const solve = leastSquares3(falling, straight);
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
      for (let index = 0; index < values.length; index += 1) {
        cost += (values[index]! - level - falling[index]! * ofFalling - straight[index]! * ofStraight) ** 2;
      }
    }
    if (best === null || cost < best.cost) best = { rate, size: Math.sqrt(size), drift: Math.sqrt(drift) / span, cost };
  }
  return best!;
}

/** Normal equations of a constant and two columns, solved for any values; a tiny ridge keeps the drift at zero where it cannot be told. */
function leastSquares3(
  first: Float64Array,
  second: Float64Array,
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
  m[8]! += 1e-3 * count;
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
