import { fiellerInterval } from '../numeric/fieller.ts';
import { normalQuantile } from '../numeric/normal.ts';
import type { Estimate } from '../model/estimate.ts';
import type { ResultRatio, ResultSample } from '../model/result.ts';
import { mean } from './robust.ts';
import { hasTwoLayers } from './vial-trouble.ts';
import type { Situation } from './situation.ts';
import type { JudgedVial } from './types.ts';

/** Change of extent by which a reference counts as having moved; chosen: twice the default margin. */
const movedBy = 0.1;

/** Whether a vial moved enough for a rate of it to mean something. */
export function hasMoved(judged: JudgedVial): boolean {
  const { fit, last, usable } = judged;
  if (fit.model === null || fit.model === 'none' || last === null) return false;
  return last.value - usable.extent[0]! > movedBy || last.value > 0.5;
}

/**
 * Ratios of a sample's rate and half-time to those of each reference that moved. Rate: the ratio of constants where all vials follow
 * the same one-constant model, else of initial rates. The interval is Fieller's with the errors of the fits, and the scatter of
 * replicates where larger; of a single vial the spread between vials is not in it.
 */
export function against(situation: Situation, members: readonly JudgedVial[]): ResultSample['against'] {
  const usable = (judged: JudgedVial): boolean => judged.fit.model !== null && !hasTwoLayers(situation, judged);
  const sample = members.filter(usable);
  if (sample.length === 0) return [];
  return situation.vials
    .filter(({ vial }) => vial.role === 'positive' || vial.role === 'negative' || vial.role === 'standard')
    .filter((reference) => usable(reference) && hasMoved(reference))
    .map((reference) => ({
      reference: reference.vial.region,
      rate_ratio: ratioOf(sample, reference, ratesOf(sample, reference)),
      half_time_ratio: ratioOf(sample, reference, halfTimeOf),
    }));
}

type Quantity = (judged: JudgedVial) => Estimate | null;

/** Models whose one constant is the whole shape, so that constants compare like with like. */
const oneConstant: readonly (string | null)[] = ['first-order', 'zero-order', 'second-order'];

function ratesOf(sample: readonly JudgedVial[], reference: JudgedVial): Quantity {
  const models = new Set([...sample, reference].map(({ fit }) => fit.model));
  const alike = models.size === 1 && oneConstant.includes(reference.fit.model);
  return ({ fit }) => {
    if (fit.model === 'none') return fit.initialRate;
    return alike ? fit.rateConstant : fit.initialRate;
  };
}

const halfTimeOf: Quantity = ({ fit }) =>
  fit.halfTimeS !== null && fit.halfTimeS.censored === 'none' ? fit.halfTimeS : null;

function ratioOf(sample: readonly JudgedVial[], reference: JudgedVial, quantity: Quantity): ResultRatio | null {
  const above = sample.map(quantity);
  const below = quantity(reference);
  if (below === null || below.se === null || below.value === 0) return null;
  const known = above.flatMap((one) => (one === null || one.se === null ? [] : [{ value: one.value, se: one.se }]));
  if (known.length < above.length) return null;
  const values = known.map(({ value }) => value);
  const n = known.length;
  const fitted = known.reduce((sum, { se }) => sum + se ** 2, 0) / n ** 2;
  const centre = mean(values);
  const scatter = n < 2 ? 0 : values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (n - 1) / n;
  const numeratorVariance = Math.max(fitted, scatter);
  const denominatorVariance = below.se ** 2;
  if (!Number.isFinite(numeratorVariance + denominatorVariance + centre)) return null;
  const set = fiellerInterval({
    numerator: centre,
    denominator: below.value,
    numeratorVariance,
    denominatorVariance,
    covariance: 0,
    criticalValue: normalQuantile(0.975),
  });
  const value = centre / below.value;
  if (set.kind !== 'bounded') return { value, se: null, ci95: [null, null], bounded: false };
  const se = Math.sqrt(numeratorVariance + value ** 2 * denominatorVariance) / Math.abs(below.value);
  return { value, se, ci95: [set.lower, set.upper], bounded: true };
}
