import { correctedAic } from '../numeric/information-criteria.ts';
import { averagingShift } from './averaging-shift.ts';
import { estimateNoise } from './estimate-noise.ts';
import type { NoiseGrid } from './estimate-noise.ts';
import { findStarts } from './find-start.ts';
import type { KineticModel, Prior } from './kinetic-model.ts';
import { throughPath } from './path-bends.ts';
import type { PathBends } from './path-bends.ts';
import type { PreparedSeries } from './prepare-series.ts';
import { refine } from './refine.ts';
import type { FitTarget, RefinedFit } from './refine.ts';
import { invertPositive } from './solve-positive.ts';

/** One model fitted with its own errors. */
export interface CandidateFit {
  /** The curve as seen, errors of the path among its parameters. */
  readonly model: KineticModel;
  /** The same parameters' curve on the true scale of extent. */
  readonly reaction: KineticModel;
  readonly target: FitTarget;
  readonly fit: RefinedFit;
  /** Minus twice the logarithm of the likelihood times the priors, up to a constant shared by all candidates. */
  readonly deviance: number;
  /** Parameters counted: the curve's and the noise's; one held by its prior counts for the part the data decide. */
  readonly parameters: number;
  /** Those of the curve alone: how rich the model is, whatever the path's errors take up. */
  readonly curveParameters: number;
  readonly aicc: number | null;
}

/** Smallest believed error of a frame: what 8-bit rounding leaves after averaging a region (chosen). */
const leastVariance = 1e-8;
/** Noise has three parameters: size, correlation time, white share; only its size where correlation is not looked for. */
const noiseParameters = (grid: NoiseGrid): number => (grid.bases.length === 0 ? 1 : 3);

/** Fits by turns: curve, errors from its residuals, curve with these errors, twice. */
export function fitCandidate(
  reaction: KineticModel,
  series: PreparedSeries,
  grid: NoiseGrid,
  offsetSe: number,
  bends: PathBends | null,
): CandidateFit {
  const n = series.time.length;
  const model = throughPath(reaction, bends);
  const priors: readonly Prior[] = [{ index: 0, mean: 0, sd: offsetSe }, ...model.priors];
  let target: FitTarget = {
    time: series.time,
    extent: series.extent,
    filter: grid.white,
    variance: 1e-4,
    priors,
  };
  let fit = findStarts(model, series)
    .map((start) => refine(model, target, start, 12))
    .reduce((best, other) => (other.objective < best.objective ? other : best));
  const p = fit.b.length;
  const partials = Array.from({ length: p }, () => new Float64Array(n).fill(1));
  const curve = new Float64Array(n);
  for (let round = 0; round < 2; round += 1) {
    model.evaluate(fit.b, series.time, curve, partials);
    const { b } = fit;
    const extent = averagingShift(model, b, series, curve);
    const residuals = curve.map((value, i) => b[0]! + value - extent[i]!);
    const filter = estimateNoise(grid, residuals, partials.slice(0, reaction.lower.length));
    const whitened = new Float64Array(n);
    filter.whiten(residuals, whitened);
    const squares = whitened.reduce((sum, value) => sum + value * value, 0);
    target = { ...target, extent, filter, variance: Math.max(squares / Math.max(n - p, 1), leastVariance) };
    fit = refine(model, target, fit.b, 10);
  }
  const mlVariance = Math.max(fit.squares / n, leastVariance);
  const prior = priors.reduce((sum, { index, mean, sd }) => sum + ((fit.b[index]! - mean) / sd) ** 2, 0);
  const deviance = n * Math.log(mlVariance) + fit.squares / mlVariance + target.filter.logDeterminant + prior;
  const covariance = invertPositive(fit.information, p, fit.atBound);
  const decided = new Float64Array(p).fill(1);
  for (const { index, sd } of priors) decided[index]! -= Math.min(covariance[index * p + index]! / (sd * sd), 1);
  const curveParameters = decided.subarray(0, reaction.lower.length).reduce((sum, share) => sum + share, 0);
  const parameters = decided.reduce((sum, share) => sum + share, 0) + noiseParameters(grid);
  const aicc = correctedAic(deviance, parameters, n);
  return { model, reaction, target, fit, deviance, parameters, curveParameters, aicc };
}
