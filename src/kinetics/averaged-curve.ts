import type { Fit } from '../model/fit.ts';
import type { WeightedFit } from './averages.ts';
import type { PathBends } from './path-bends.ts';
import type { PreparedSeries } from './prepare-series.ts';

/** Points of the averaged curve; closer together at the beginning, where curves bend. */
const points = 80;

/**
 * The curve averaged over models on the scale of the readings, offset included, with a pointwise 95 % band that covers
 * the errors of the path at each extent too.
 */
export function averagedCurve(
  fits: readonly WeightedFit[],
  series: PreparedSeries,
  t: number,
  readAtS: number | null,
  bends: PathBends | null,
): NonNullable<Fit['curve']> {
  const times = Array.from({ length: points }, (_, i) => (i / (points - 1)) ** 2);
  if (readAtS !== null && readAtS > 0 && readAtS < series.spanS) times.push(readAtS / series.spanS);
  times.sort((first, second) => first - second);
  const grid = Float64Array.from(new Set(times));
  const n = grid.length;
  const mean = new Float64Array(n);
  const total = fits.reduce((sum, { weight }) => sum + weight, 0);
  const parts = fits.map((fit) => ({ share: fit.weight / total, ...curveWithVariance(fit, grid, bends) }));
  for (const { share, curve } of parts) for (let i = 0; i < n; i += 1) mean[i]! += share * curve[i]!;
  const variance = new Float64Array(n);
  for (const { share, curve, spread } of parts) {
    for (let i = 0; i < n; i += 1) variance[i]! += share * (spread[i]! + (curve[i]! - mean[i]!) ** 2);
  }
  return {
    timeS: Array.from(grid, (time) => time * series.spanS),
    extent: [...mean],
    lower: Array.from(mean, (value, i) => value - t * Math.sqrt(variance[i]!)),
    upper: Array.from(mean, (value, i) => value + t * Math.sqrt(variance[i]!)),
  };
}

function curveWithVariance({ basis }: WeightedFit, grid: Float64Array, bends: PathBends | null) {
  const { candidate, covariance } = basis;
  const { model, fit } = candidate;
  const p = fit.b.length;
  const n = grid.length;
  const curve = new Float64Array(n);
  const partials = Array.from({ length: p }, () => new Float64Array(n).fill(1));
  model.evaluate(fit.b, grid, curve, partials);
  const spread = new Float64Array(n);
  for (let i = 0; i < n; i += 1) {
    spread[i]! += bends?.variance(curve[i]!) ?? 0;
    curve[i]! += fit.b[0]!;
    for (let j = 0; j < p; j += 1) {
      for (let k = 0; k < p; k += 1) spread[i]! += partials[j]![i]! * partials[k]![i]! * covariance[j * p + k]!;
    }
  }
  return { curve, spread };
}
