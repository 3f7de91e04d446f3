import type { Fit, ModelName } from '../model/fit.ts';
import type { WeightedFit } from './averages.ts';
import { allModels } from './models/all-models.ts';
import { throughPath, type PathBends } from './path-bends.ts';

/** Points of the averaged curve; closer together at the beginning, where curves bend. */
const points = 80;

/** What the averaged curve is drawn from, in plain numbers. */
export interface CurveParts {
  readonly spanS: number;
  /** Two-sided 95 % value of Student's t. */
  readonly t: number;
  readonly models: readonly {
    readonly name: ModelName;
    readonly weight: number;
    /** Parameters, those of the path's errors behind the model's own, and their covariance, row major. */
    readonly b: readonly number[];
    readonly covariance: readonly number[];
  }[];
}

export const curveParts = (fits: readonly WeightedFit[], spanS: number, t: number): CurveParts => ({
  spanS,
  t,
  models: fits.map(({ weight, basis }) => ({
    name: basis.candidate.reaction.name,
    weight,
    b: [...basis.candidate.fit.b],
    covariance: [...basis.covariance],
  })),
});

/**
 * The curve averaged over models on the scale of the readings, offset included, with a pointwise 95 % band that covers
 * the errors of the path at each extent too.
 */
export function averagedCurve(
  { spanS, t, models }: CurveParts,
  readAtS: number | null,
  bends: PathBends | null,
): NonNullable<Fit['curve']> {
  const times = Array.from({ length: points }, (_, i) => (i / (points - 1)) ** 2);
  if (readAtS !== null && readAtS > 0 && readAtS < spanS) times.push(readAtS / spanS);
  times.sort((first, second) => first - second);
  const grid = Float64Array.from(new Set(times));
  const n = grid.length;
  const mean = new Float64Array(n);
  const total = models.reduce((sum, { weight }) => sum + weight, 0);
  const parts = models.map((fit) => ({ share: fit.weight / total, ...curveWithVariance(fit, grid, bends) }));
  for (const { share, curve } of parts) for (let i = 0; i < n; i += 1) mean[i]! += share * curve[i]!;
  const variance = new Float64Array(n);
  for (const { share, curve, spread } of parts) {
    for (let i = 0; i < n; i += 1) variance[i]! += share * (spread[i]! + (curve[i]! - mean[i]!) ** 2);
  }
  return {
    timeS: Array.from(grid, (time) => time * spanS),
    extent: [...mean],
    lower: Array.from(mean, (value, i) => value - t * Math.sqrt(variance[i]!)),
    upper: Array.from(mean, (value, i) => value + t * Math.sqrt(variance[i]!)),
  };
}

function curveWithVariance(
  { name, b: parameters, covariance }: CurveParts['models'][number],
  grid: Float64Array,
  bends: PathBends | null,
) {
  const model = throughPath(
    allModels.find((one) => one.name === name)!,
    bends,
  );
  const b = Float64Array.from(parameters);
  const p = b.length;
  const n = grid.length;
  const curve = new Float64Array(n);
  const partials = Array.from({ length: p }, () => new Float64Array(n).fill(1));
  model.evaluate(b, grid, curve, partials);
  const spread = new Float64Array(n);
  for (let i = 0; i < n; i += 1) {
    spread[i]! += bends?.variance(curve[i]!) ?? 0;
    curve[i]! += b[0]!;
    for (let j = 0; j < p; j += 1) {
      for (let k = 0; k < p; k += 1) spread[i]! += partials[j]![i]! * partials[k]![i]! * covariance[j * p + k]!;
    }
  }
  return { curve, spread };
}
