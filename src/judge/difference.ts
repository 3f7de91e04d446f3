import { fQuantile } from '../numeric/f-distribution.ts';
import { sampleMoments } from '../numeric/sample-moments.ts';
import { meanShift, pathSe } from './estimates.ts';
import { mean, rootMeanSquare } from '../numeric/mean.ts';
import type { Reading, Spread } from './types.ts';
import { totalSe } from './variance-parts.ts';
import type { VariancePart } from './variance-parts.ts';

/** D of one sample: its mean extent less the negatives' mean, with where its uncertainty comes from. */
export interface Difference {
  readonly value: number;
  readonly se: number;
  /** Variances of the vials, as known from replicates. */
  readonly vialParts: readonly VariancePart[];
  /** All variances of D: vials, colour path, light. */
  readonly parts: readonly VariancePart[];
  /** The same, with the error the path has at D = margin where that is larger. */
  readonly partsAtMargin: readonly VariancePart[];
  /** Share of the standard error that all samples have in common through the negatives, 0..1. */
  readonly loading: number;
  readonly vialSe: number;
  readonly pathSe: number;
  readonly lightSe: number;
  /** Whether the sample's own replicates scatter more than still vials, so that their own variance was used. */
  readonly ownVariance: boolean;
}

export interface DifferenceSettings {
  /** Between-vial spread; `df` Infinity for an assumed bound. */
  readonly spread: Spread;
  /** Degrees of freedom by which the vials' own known error was learnt in this run; `null`: not learnt. */
  readonly knownDf: number | null;
  /** Standard error of any difference from light that no patch vouches for, extent. */
  readonly lightSe: number;
  /** Error of the path in a difference of one margin above the negatives, extent. */
  readonly pathSeAtMargin: number;
}

/** Level of the test by which a group's own variance replaces the pooled one. */
const ownVarianceLevel = 0.05;

/**
 * Vials are the units: the vials' part is s^2 (1/n + 1/m), never less than what glass and frames alone are known to do. A group that
 * scatters significantly more than still vials brings its own variance (after Welch). The error of the path is that of the difference under
 * each plausible path, so that what both have in common cancels.
 */
export function difference(
  sample: readonly Reading[],
  negatives: readonly Reading[],
  { spread, knownDf, lightSe, pathSeAtMargin }: DifferenceSettings,
): Difference {
  const n = sample.length;
  const m = negatives.length;
  const own = sampleMoments(sample.map((one) => one.value)).variance;
  const pooled = spread.value ** 2;
  const knownOfNegatives = knownVariance(negatives);
  const still = (readings: readonly Reading[]): VariancePart =>
    moderate(pooled, spread.df, knownVariance(readings), knownOfNegatives, knownDf);
  const alike = still(sample);
  const ownVariance =
    own !== null && own > alike.variance * fQuantile(1 - ownVarianceLevel, n - 1, Math.min(alike.df, 1e6));
  const ofSample = ownVariance ? own : alike.variance;
  const { variance: ofNegatives, df: negativesDf } = still(negatives);
  const vialParts: readonly VariancePart[] = ownVariance
    ? [
        { variance: ofSample / n, df: n - 1 },
        { variance: ofNegatives / m, df: negativesDf },
      ]
    : [{ variance: ofSample / n + ofNegatives / m, df: Math.min(alike.df, negativesDf) }];
  const base = meanShift(negatives);
  const path = pathSe(meanShift(sample).map((shift, k) => shift - base[k]!));
  const withPath = (error: number): readonly VariancePart[] => [
    ...vialParts,
    { variance: error ** 2 + lightSe ** 2, df: Infinity },
  ];
  const parts = withPath(path);
  const se = totalSe(parts);
  return {
    value: mean(sample.map((one) => one.value)) - mean(negatives.map((one) => one.value)),
    se,
    vialParts,
    parts,
    partsAtMargin: withPath(Math.max(path, pathSeAtMargin)),
    loading: se > 0 ? Math.sqrt(ofNegatives / m) / se : 0,
    vialSe: totalSe(vialParts),
    pathSe: path,
    lightSe,
    ownVariance,
  };
}

/**
 * Variance of a still vial from two estimates of it: the scatter of replicates, and what glass and frames are known to do.
 * Where the run has learnt the latter from its own vials, both are pooled by their degrees of freedom, unless the replicates
 * scatter significantly more (then they count, with what this vial is known to miss beyond them); else the larger counts,
 * with the replicates' degrees of freedom. Replicates are held against what is known of themselves: negatives that pin
 * the path scatter less than a vial that pins nothing.
 * @param known of the vial in question
 * @param knownOfNegatives of the replicates behind `pooled`
 */
export function moderate(
  pooled: number,
  df: number,
  known: number,
  knownOfNegatives: number,
  knownDf: number | null,
): VariancePart {
  if (knownDf === null || !Number.isFinite(df)) return { variance: Math.max(pooled, known), df };
  if (pooled > knownOfNegatives * fQuantile(1 - ownVarianceLevel, df, knownDf)) {
    return { variance: pooled + Math.max(0, known - knownOfNegatives), df };
  }
  const scatter = knownOfNegatives > 0 ? pooled / knownOfNegatives : 1;
  return { variance: (known * (scatter * df + knownDf)) / (df + knownDf), df: df + knownDf };
}

/** Variance of one reading that is known beforehand: frames and, where told, glass and position. */
export function knownVariance(readings: readonly Reading[]): number {
  return rootMeanSquare(readings.map((one) => Math.hypot(one.frameSe, one.vialSe ?? 0)))! ** 2;
}
