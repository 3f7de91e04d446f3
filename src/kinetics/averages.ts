import type { IntervalBasis } from './constants.ts';

/** A quantity averaged over models: value, and variance within and between models, errors of the path included. */
export interface Averaged {
  readonly value: number;
  readonly se: number;
}

/** One model's part in an average. */
export interface WeightedFit {
  readonly basis: IntervalBasis;
  readonly weight: number;
}

/**
 * Akaike-weighted mean of a quantity with the unconditional standard error of K. P. Burnham & D. R. Anderson (Model
 * Selection and Multimodel Inference, 2002, eq. 4.9 in its variance form). `null` when a model of weight has no value.
 * A model that leaves the quantity `undetermined` has no say while the weightiest model determines it: one near-singular
 * covariance at a weight of a few per cent would otherwise rule the interval.
 */
export function average(
  fits: readonly WeightedFit[],
  quantity: (fit: WeightedFit, b: Float64Array) => number | null,
  undetermined: (value: number, se: number) => boolean = () => false,
): Averaged | null {
  const found: { weight: number; value: number; variance: number }[] = [];
  for (const fit of fits) {
    const { b } = fit.basis.candidate.fit;
    const value = quantity(fit, b);
    if (value === null || !Number.isFinite(value)) return null;
    found.push({ weight: fit.weight, value, variance: deltaVariance(fit, (at) => quantity(fit, at), value) });
  }
  const open = ({ value, variance }: (typeof found)[number]): boolean => undetermined(value, Math.sqrt(variance));
  const weightiest = found.reduce((most, part) => (part.weight > most.weight ? part : most), found[0]!);
  const parts = found.length === 0 || open(weightiest) ? found : found.filter((part) => !open(part));
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > 0)) return null;
  const value = parts.reduce((sum, part) => sum + part.weight * part.value, 0) / total;
  const variance = parts.reduce((sum, part) => sum + part.weight * (part.variance + (part.value - value) ** 2), 0);
  return { value, se: Math.sqrt(variance / total) };
}

/** Largest step of a difference, internal units: a wide standard error must not turn the slope into a chord. Chosen. */
const largestStep = 1e-3;

/** g' C g with the gradient g by central differences of a tenth of each standard error, short at the most. */
function deltaVariance({ basis }: WeightedFit, quantity: (b: Float64Array) => number | null, value: number): number {
  const { covariance, candidate } = basis;
  const { b } = candidate.fit;
  const { lower, upper } = candidate.model;
  const p = b.length;
  const gradient = new Float64Array(p);
  for (let j = 0; j < p; j += 1) {
    const step = Math.min(0.1 * Math.sqrt(covariance[j * p + j]!), largestStep);
    if (!(step > 0)) continue;
    const above = Float64Array.from(b);
    const below = Float64Array.from(b);
    above[j] = Math.min(b[j]! + step, upper[j]!);
    below[j] = Math.max(b[j]! - step, lower[j]!);
    gradient[j] = ((quantity(above) ?? value) - (quantity(below) ?? value)) / (above[j]! - below[j]!);
  }
  let sum = 0;
  for (let i = 0; i < p; i += 1)
    for (let j = 0; j < p; j += 1) sum += gradient[i]! * gradient[j]! * covariance[i * p + j]!;
  return Math.max(sum, 0);
}
