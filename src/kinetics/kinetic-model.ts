import type { ModelName } from '../model/fit.ts';

/** A Gaussian belief about one parameter, from what the extent scale means. */
export interface Prior {
  readonly index: number;
  readonly mean: number;
  readonly sd: number;
}

/**
 * One candidate curve. Time is in units of the observed span (0..1), so that bounds and starts are plain numbers.
 * Parameter 0 is always the vial's constant offset. Rates and widths are natural logarithms.
 */
export interface KineticModel {
  readonly name: ModelName;
  readonly lower: readonly number[];
  readonly upper: readonly number[];
  readonly priors: readonly Prior[];
  /** Parameter that scales the curve, `null` without one; starts are given with it at 1. */
  readonly amplitude: number | null;
  /** Values tried before refining. */
  readonly starts: readonly (readonly number[])[];
  /** Fills `value` with the curve without offset at `time` and, when given, `partials[j]` for j >= 1. */
  evaluate(b: Float64Array, time: Float64Array, value: Float64Array, partials: readonly Float64Array[] | null): void;
  /** Slope at the beginning of the reaction: after any dead time, and at its steepest where it starts gradually. */
  initialRate(b: Float64Array): number;
  /** Which parameter is the rate constant's logarithm, and its unit. */
  readonly rate: { readonly index: number; readonly unit: string; readonly logarithmic: boolean } | null;
  /** Which parameter is the dead time, in spans. */
  readonly induction: number | null;
  /** The slow part beside a burst, extent per span; `null` for other models. */
  backgroundRate(b: Float64Array): number | null;
}

/** Prior of an amplitude that ought to be the whole scale; sd chosen: the worst path error met (0.05). */
export const wholeScale = (index: number): Prior => ({ index, mean: 1, sd: 0.05 });

/** Logarithms of `count` values from `from` to `to`, evenly spaced in the logarithm. */
export function logGrid(from: number, to: number, count: number): readonly number[] {
  const low = Math.log(from);
  const step = (Math.log(to) - low) / Math.max(count - 1, 1);
  return Array.from({ length: count }, (_, i) => low + i * step);
}

export const noBackground = (): null => null;
