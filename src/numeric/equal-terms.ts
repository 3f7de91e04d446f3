import type { LeastSquaresProblem } from './least-squares.ts';

/** Parameters beyond this many are not looked through: the exchanges to try grow too many. Chosen. */
const mostParameters = 9;
/** Parameters of one term that change places with those of another at the same time, at most: amplitude, place and width. */
const mostPairs = 3;
/** Residuals that differ by less than this share of the observations are the same curve. */
const sameCurve = 1e-9;

/**
 * Where exchanging parameters leaves the curve as it is (equal terms of a sum: two exponentials, three peaks), or turning
 * the sign of one or two (a width that is squared, a quotient), the same minimum stands under several names and chance
 * decides which one is found. This gives the one nearest to the start, as the caller wrote it. `null` when it is that already.
 */
export function orderLikeStart(
  problem: LeastSquaresProblem,
  found: Float64Array,
  start: Float64Array,
): Float64Array | null {
  const count = found.length;
  if (count < 2 || count > mostParameters) return null;
  const pairs = Array.from({ length: count }, (_, j) => j).flatMap((j) =>
    Array.from({ length: count - j - 1 }, (_, k) => [j, j + 1 + k] as const),
  );
  let best = found;
  for (let round = 0; round < count; round += 1) {
    const better = [...exchanges(pairs, mostPairs).map((set) => exchanged(best, set)), ...turned(best, pairs)]
      .filter((one) => distance(one, start) < distance(best, start) - 1e-9 && isInside(problem, one))
      .sort((first, second) => distance(first, start) - distance(second, start))
      .find((one) => isSameCurve(problem, one, best));
    if (better === undefined) break;
    best = better;
  }
  return best === found ? null : best;
}

type Pair = readonly [number, number];

/** Sets of one up to `most` pairs that have no parameter in common. */
function exchanges(pairs: readonly Pair[], most: number): readonly (readonly Pair[])[] {
  if (most === 0) return [];
  return pairs.flatMap((pair, index) => {
    const apart = pairs.slice(index + 1).filter((other) => !other.some((j) => pair.includes(j)));
    return [[pair], ...exchanges(apart, most - 1).map((set) => [pair, ...set])];
  });
}

function exchanged(values: Float64Array, set: readonly Pair[]): Float64Array {
  const moved = values.slice();
  for (const [j, k] of set) {
    moved[j] = values[k]!;
    moved[k] = values[j]!;
  }
  return moved;
}

/** The values with the sign of one or of two of them turned. */
function turned(values: Float64Array, pairs: readonly Pair[]): readonly Float64Array[] {
  const turn = (set: readonly number[]): Float64Array =>
    values.map((value, j) => (set.includes(j) && value !== 0 ? -value : value));
  return [...Array.from(values, (_, j) => turn([j])), ...pairs.map(turn)];
}

/** Sum of |ln(b / start)|^2, the logarithm complex: a change of sign counts pi. Parameters at zero do not tell. */
function distance(values: Float64Array, start: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < values.length; j += 1) {
    const ratio = values[j]! / start[j]!;
    if (Number.isFinite(ratio) && ratio !== 0) sum += Math.log(Math.abs(ratio)) ** 2 + (ratio < 0 ? Math.PI ** 2 : 0);
  }
  return sum;
}

function isInside({ lower, upper }: LeastSquaresProblem, at: Float64Array): boolean {
  return at.every((value, j) => value >= lower[j]! && value <= upper[j]!);
}

function isSameCurve({ residuals, size }: LeastSquaresProblem, first: Float64Array, second: Float64Array): boolean {
  const one = residuals(first);
  const two = residuals(second);
  const gap = Math.sqrt(one.reduce((sum, value, i) => sum + (value - two[i]!) ** 2, 0));
  return gap <= sameCurve * size;
}
