import { noiseBasis, noiseFilter } from './noise-filter.ts';
import type { NoiseBasis, NoiseFilter } from './noise-filter.ts';
import type { PreparedSeries } from './prepare-series.ts';

/** Below this number of points correlation cannot be told from noise; white noise is assumed. */
const fewestForCorrelation = 12;
/** White shares tried; 0 is left out: an 8-bit frame always has some noise of its own. */
const shares = [0.02, 0.12, 0.3, 0.55, 0.8] as const;

/** Filters to choose from; built once for a series and shared by all its candidates. */
export interface NoiseGrid {
  readonly bases: readonly NoiseBasis[];
  filter(tau: number, share: number): NoiseFilter;
  readonly white: NoiseFilter;
}

/** Correlation times from half the frame gap to a third of the span: longer ones cannot be told from a reaction. */
export function noiseGrid(series: PreparedSeries): NoiseGrid {
  const white = noiseFilter(series, noiseBasis(series, 0), 1);
  const count = series.time.length < fewestForCorrelation ? 0 : 10;
  const from = Math.log(series.gap * 0.5);
  const to = Math.log(Math.max(1 / 3, series.gap));
  const bases = Array.from({ length: count }, (_, i) => noiseBasis(series, Math.exp(from + ((to - from) * i) / 9)));
  const made = new Map<number, NoiseFilter>();
  return {
    bases,
    white,
    filter(tau, share) {
      const key = tau * shares.length + share;
      const known = made.get(key);
      if (known !== undefined) return known;
      const filter = noiseFilter(series, bases[tau]!, shares[share]!);
      made.set(key, filter);
      return filter;
    },
  };
}

/**
 * The filter of greatest restricted likelihood (REML) for residuals of a curve with the given partial derivatives.
 * REML, because plain likelihood takes part of slow errors for curve and finds too little correlation.
 */
export function estimateNoise(
  grid: NoiseGrid,
  residuals: Float64Array,
  partials: readonly Float64Array[],
): NoiseFilter {
  const criterion = restrictedCriterion(residuals, partials);
  let best = grid.white;
  let least = criterion(grid.white);
  let at: readonly [number, number] | null = null;
  const consider = (tau: number, share: number): void => {
    if (tau < 0 || share < 0 || tau >= grid.bases.length || share >= shares.length) return;
    const filter = grid.filter(tau, share);
    const value = criterion(filter);
    if (value < least - 1e-9) {
      least = value;
      best = filter;
      at = [tau, share];
    }
  };
  for (let tau = 0; tau < grid.bases.length; tau += 1) consider(tau, 2);
  for (let tau = 1; tau < grid.bases.length; tau += 2) consider(tau, 0);
  for (let round = 0; round < 3 && at !== null; round += 1) {
    const [tau, share]: readonly [number, number] = at;
    for (let other = 0; other < shares.length; other += 1) if (other !== share) consider(tau, other);
    const shareNow = (at as readonly [number, number])[1];
    for (const near of [tau - 1, tau + 1]) consider(near, shareNow);
    if (at[0] === tau && at[1] === share) break;
  }
  return best;
}

/** (n - p) ln RSS + ln |V| + ln |X' V^-1 X|. */
function restrictedCriterion(
  residuals: Float64Array,
  partials: readonly Float64Array[],
): (filter: NoiseFilter) => number {
  const n = residuals.length;
  const p = partials.length;
  const whitened = new Float64Array(n);
  const columns = partials.map(() => new Float64Array(n));
  return (filter) => {
    filter.whiten(residuals, whitened);
    partials.forEach((partial, j) => filter.whiten(partial, columns[j]!));
    let squares = n * 1e-8;
    for (let i = 0; i < n; i += 1) squares += whitened[i]! * whitened[i]!;
    return Math.max(n - p, 1) * Math.log(squares) + filter.logDeterminant + logGramDeterminant(columns);
  };
}

/** ln |X'X| by modified Gram-Schmidt (columns are overwritten); columns that vanish do not count. */
function logGramDeterminant(columns: readonly Float64Array[]): number {
  let total = 0;
  columns.forEach((column, j) => {
    const before = dot(column, column);
    for (let k = 0; k < j; k += 1) {
      const other = columns[k]!;
      const length = dot(other, other);
      if (length === 0) continue;
      const factor = dot(column, other) / length;
      for (let i = 0; i < column.length; i += 1) column[i]! -= factor * other[i]!;
    }
    const left = dot(column, column);
    if (left > 1e-12 * before && left > 0) total += Math.log(left);
    else column.fill(0);
  });
  return total;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += a[i]! * b[i]!;
  return sum;
}
