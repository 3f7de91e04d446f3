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
  let best: (Tail & { readonly cost: number }) | null = null;
  for (let step = 0; step <= 40; step += 1) {
    const rate = (0.3 * 10 ** (step / 13)) / span;
    const basis = timeS.map((time) => [1, Math.exp(-rate * (time - begin)), (time - begin) / span] as const);
    let cost = 0;
    let size = 0;
    let drift = 0;
    for (let channel = 0; channel < 3; channel += 1) {
      const solution = leastSquares3(
        basis,
        colours.map((colour) => colour[channel]!),
      );
      if (solution === null) {
        cost = Infinity;
        break;
      }
      size += solution[1] ** 2;
      drift += solution[2] ** 2;
      basis.forEach((row, index) => {
        cost += (colours[index]![channel]! - row[0] * solution[0] - row[1] * solution[1] - row[2] * solution[2]) ** 2;
      });
    }
    if (best === null || cost < best.cost) best = { rate, size: Math.sqrt(size), drift: Math.sqrt(drift) / span, cost };
  }
  return best!;
}

/** Normal equations of three columns; a tiny ridge keeps the drift at zero where it cannot be told. */
function leastSquares3(
  rows: readonly (readonly [number, number, number])[],
  values: readonly number[],
): readonly [number, number, number] | null {
  const m = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  const v = [0, 0, 0];
  rows.forEach((row, index) => {
    for (let i = 0; i < 3; i += 1) {
      v[i]! += row[i]! * values[index]!;
      for (let j = 0; j < 3; j += 1) m[i * 3 + j]! += row[i]! * row[j]!;
    }
  });
  m[8]! += 1e-3 * rows.length;
  m[4]! += 1e-9 * rows.length;
  const minor = (a: number, b: number, c: number, d: number): number => m[a]! * m[d]! - m[b]! * m[c]!;
  const determinant = m[0]! * minor(4, 5, 7, 8) - m[1]! * minor(3, 5, 6, 8) + m[2]! * minor(3, 4, 6, 7);
  if (!(Math.abs(determinant) > 1e-300)) return null;
  const replace = (column: number): number => {
    const n = m.map((value, index) => (index % 3 === column ? v[Math.floor(index / 3)]! : value));
    return (
      n[0]! * (n[4]! * n[8]! - n[5]! * n[7]!) -
      n[1]! * (n[3]! * n[8]! - n[5]! * n[6]!) +
      n[2]! * (n[3]! * n[7]! - n[4]! * n[6]!)
    );
  };
  return [replace(0) / determinant, replace(1) / determinant, replace(2) / determinant];
}

export function medianColour(
  colours: readonly (readonly [number, number, number])[],
  from: number,
  to: number,
): readonly [number, number, number] {
  const part = colours.slice(Math.max(0, from), Math.min(colours.length, to + 1));
  const middle = (channel: number): number => {
    const sorted = part.map((colour) => colour[channel]!).sort((a, b) => a - b);
    const half = sorted.length >> 1;
    return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
  };
  return [middle(0), middle(1), middle(2)];
}

export function distance(a: readonly [number, number, number], b: readonly [number, number, number]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
