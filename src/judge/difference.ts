import { fQuantile } from '../numeric/f-distribution.ts';
import { sampleMoments } from '../numeric/sample-moments.ts';
import { meanShift, pathSe } from './estimates.ts';
import { mean, rootMeanSquare } from './robust.ts';
import type { Reading, Spread } from './types.ts';

/** A part of a variance with the degrees of freedom it is known by. */
interface VariancePart {
  readonly variance: number;
  readonly df: number;
}

/** D of one sample: its mean extent less the negatives' mean, with where its uncertainty comes from. */
export interface Difference {
  readonly value: number;
  readonly se: number;
  /** Satterthwaite's degrees of freedom of `se`. */
  readonly df: number;
  /** Share of the standard error that all samples have in common through the negatives, 0..1. */
  readonly loading: number;
  /** Standard errors of the parts: vials, colour path, light. */
  readonly vialSe: number;
  readonly pathSe: number;
  readonly lightSe: number;
  /** Whether the sample's own replicates scatter more than still vials, so that their own variance was used. */
  readonly ownVariance: boolean;
}

/** How much a vial and the light may vary, whatever the replicates of this run show. */
export interface DifferenceSettings {
  /** Between-vial spread; `df` Infinity for an assumed bound. */
  readonly spread: Spread;
  /** Standard error of any difference from light that no patch vouches for, extent. */
  readonly lightSe: number;
}

/** Level of the test by which a group's own variance replaces the pooled one. */
const ownVarianceLevel = 0.05;

/**
 * Vials are the units. The vials' part is s^2 (1/n + 1/m); where the errors known beforehand (glass, frames) are larger
 * than the replicates show, the excess is added as known. A group that scatters significantly more than still vials brings its
 * own variance (Welch). The error of the path is that of the difference under each plausible path, so that what both
 * have in common cancels.
 */
export function difference(
  sample: readonly Reading[],
  negatives: readonly Reading[],
  { spread, lightSe }: DifferenceSettings,
): Difference {
  const n = sample.length;
  const m = negatives.length;
  const value = mean(sample.map((one) => one.value)) - mean(negatives.map((one) => one.value));
  const pooled = spread.value ** 2;
  const own = sampleMoments(sample.map((one) => one.value)).variance;
  const ownVariance = own !== null && own > pooled * fQuantile(1 - ownVarianceLevel, n - 1, finite(spread.df));
  const parts: VariancePart[] = ownVariance
    ? [
        { variance: own / n, df: n - 1 },
        { variance: pooled / m, df: spread.df },
      ]
    : [{ variance: pooled * (1 / n + 1 / m), df: spread.df }];
  const excess = (readings: readonly Reading[]): number => Math.max(0, knownVariance(readings) - pooled);
  const known = excess(sample) / n + excess(negatives) / m;
  const shifts = meanShift(sample).map((shift, k) => shift - meanShift(negatives)[k]!);
  const path = pathSe(shifts);
  parts.push({ variance: known + path ** 2 + lightSe ** 2, df: Infinity });
  const variance = parts.reduce((sum, part) => sum + part.variance, 0);
  const vialVariance = variance - path ** 2 - lightSe ** 2;
  return {
    value,
    se: Math.sqrt(variance),
    df: satterthwaite(parts),
    loading: variance > 0 ? Math.sqrt(Math.min((pooled + excess(negatives)) / m / variance, 1)) : 0,
    vialSe: Math.sqrt(Math.max(vialVariance, 0)),
    pathSe: path,
    lightSe,
    ownVariance,
  };
}

/** Variance of one reading that is known beforehand: frames and, where told, glass and position. */
function knownVariance(readings: readonly Reading[]): number {
  return rootMeanSquare(readings.map((one) => Math.hypot(one.frameSe, one.vialSe ?? 0)))! ** 2;
}

/** Degrees of freedom of a sum of variances (F. E. Satterthwaite, Biometrics 2:110, 1946); Infinity when all are known. */
export function satterthwaite(parts: readonly VariancePart[]): number {
  const total = parts.reduce((sum, part) => sum + part.variance, 0);
  const uncertain = parts.reduce((sum, part) => sum + (part.df === Infinity ? 0 : part.variance ** 2 / part.df), 0);
  return uncertain === 0 ? Infinity : total ** 2 / uncertain;
}

/** F quantiles for known variances: many degrees of freedom stand for infinitely many. */
function finite(df: number): number {
  return Math.min(df, 1e6);
}
