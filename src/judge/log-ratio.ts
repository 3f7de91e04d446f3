import type { Estimate } from '../model/estimate.ts';
import type { ResultRatio } from '../model/result.ts';
import { normalQuantile } from '../numeric/normal.ts';
import { pathSe } from './estimates.ts';
import { mean } from '../numeric/mean.ts';

/** A positive quantity with what it errs by alone and in common with other vials, all as factors (natural logarithms). */
export interface Positive {
  readonly value: number;
  readonly relativeSe: number;
  /** Reach of its own 95 % interval below and above; `null`: not bounded on that side. */
  readonly below: number | null;
  readonly above: number | null;
  /** What each draw of the colour path does to it. */
  readonly shifts: readonly number[];
}

/** 97.5 % point of the normal distribution. */
const reachOfSe = normalQuantile(0.975);

/**
 * An estimate's own part: the path's share, in quadrature in the whole interval, is taken out again and kept apart. `null` for a
 * quantity that is not positive or whose error is not known.
 */
export function positiveOf(estimate: Estimate | null, shifts: readonly number[] = []): Positive | null {
  if (estimate === null || estimate.se === null || !(estimate.value > 0) || !Number.isFinite(estimate.se)) return null;
  const { value, se, ci95 } = estimate;
  const common = pathSe(shifts);
  const own = (whole: number, part: number): number => Math.sqrt(Math.max(whole ** 2 - part ** 2, 0));
  const reach = (bound: number | null): number | null =>
    bound === null || !(bound > 0) ? null : own(Math.log(bound / value), reachOfSe * common);
  return { value, relativeSe: own(se / value, common), below: reach(ci95[0]), above: reach(ci95[1]), shifts };
}

/** Lower end of its 95 % interval, the path's error with it; `null`: not known from zero. */
export function lowerBound({ value, below, shifts }: Positive): number | null {
  return below === null ? null : value * Math.exp(-Math.hypot(below, reachOfSe * pathSe(shifts)));
}

/** With one more error of its own, relative standard error. */
export function widened(quantity: Positive, relative: number): Positive {
  const more = (reach: number | null): number | null =>
    reach === null ? null : Math.hypot(reach, reachOfSe * relative);
  return {
    ...quantity,
    relativeSe: Math.hypot(quantity.relativeSe, relative),
    below: more(quantity.below),
    above: more(quantity.above),
  };
}

/** Mean of replicates; its own error is that of the single ones or, where larger, their scatter. */
export function meanOf(replicates: readonly Positive[]): Positive {
  const n = replicates.length;
  const value = mean(replicates.map((one) => one.value));
  const scatter =
    n < 2 ? 0 : Math.sqrt(replicates.reduce((sum, one) => sum + (one.value - value) ** 2, 0) / (n - 1) / n) / value;
  const pooled = (of: (one: Positive) => number | null): number | null => {
    const all = replicates.map((one) => ({ weight: one.value / value / n, error: of(one) }));
    if (all.some(({ error }) => error === null)) return null;
    return Math.sqrt(all.reduce((sum, { weight, error }) => sum + (weight * error!) ** 2, 0));
  };
  const atLeast = (least: number, found: number | null): number | null =>
    found === null ? null : Math.max(found, least);
  return {
    value,
    relativeSe: atLeast(
      scatter,
      pooled((one) => one.relativeSe),
    )!,
    below: atLeast(
      reachOfSe * scatter,
      pooled((one) => one.below),
    ),
    above: atLeast(
      reachOfSe * scatter,
      pooled((one) => one.above),
    ),
    shifts: (replicates[0]?.shifts ?? []).map((_, k) => mean(replicates.map(({ shifts }) => shifts[k] ?? 0))),
  };
}

/**
 * Ratio of two positive quantities with its 95 % interval from theirs, in the logarithm: each side is the root of the squares of the
 * numerator's reach that way and the denominator's the other way (method of variance estimates recovery: G. Y. Zou & A. Donner,
 * Stat. Med. 27:1693, 2008; from memory), so that intervals of any skewness keep theirs and no ratio is negative. For small errors
 * it is Fieller's interval (tests/judge/ratios.test.ts), and as there it has no upper bound where the denominator has no lower one.
 * The path's error is that of the ratio under each draw: what both have in common cancels.
 */
export function logRatio(above: Positive, below: Positive): ResultRatio {
  const value = above.value / below.value;
  const path = pathSe(
    above.shifts.length === below.shifts.length
      ? above.shifts.map((shift, k) => shift - below.shifts[k]!)
      : [Math.hypot(pathSe(above.shifts), pathSe(below.shifts))],
  );
  const reach = (first: number | null, second: number | null): number | null =>
    first === null || second === null ? null : Math.hypot(first, second, reachOfSe * path);
  const down = reach(above.below, below.above);
  const up = reach(above.above, below.below);
  const bounded = up !== null;
  return {
    value,
    se: bounded ? value * Math.hypot(above.relativeSe, below.relativeSe, path) : null,
    ci95: [down === null ? 0 : value * Math.exp(-down), up === null ? null : value * Math.exp(up)],
    bounded,
  };
}
