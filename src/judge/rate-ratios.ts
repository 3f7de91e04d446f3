import type { Estimate } from '../model/estimate.ts';
import type { ResultRatio, ResultSample } from '../model/result.ts';
import { fiellerInterval } from '../numeric/fieller.ts';
import { normalQuantile } from '../numeric/normal.ts';
import { comparableRates } from './comparable-rates.ts';
import { mean } from './robust.ts';
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

/** A ratio, or `null` with the reason; a ratio that is only an upper limit has a reason too. */
interface Said {
  readonly ratio: ResultRatio | null;
  readonly reason: string | null;
}

/**
 * Ratios of a sample's rate and half-time to those of each reference that moved; what rates are taken, see `comparableRates`.
 * The interval is Fieller's with the errors of the fits, and the scatter of replicates where larger; of a single vial the
 * spread between vials is not in it. A sample that did not move has an upper limit only: value 0, no standard error.
 */
export function against(situation: Situation, members: readonly JudgedVial[]): ResultSample['against'] {
  const usable = ({ fit, trouble }: JudgedVial): boolean => fit.model !== null && trouble?.code !== 'two-layers';
  const sample = members.filter(usable);
  if (sample.length === 0) return [];
  return situation.vials
    .filter(({ vial }) => vial.role === 'positive' || vial.role === 'negative' || vial.role === 'standard')
    .filter((reference) => usable(reference) && hasMoved(reference))
    .map((reference) => {
      const { basis, of, remark } = comparableRates(situation, [...sample, reference]);
      const still = sample.filter(({ fit }) => fit.model === 'none').length;
      const rate =
        still === 0
          ? ratioOf(sample.map(of), of(reference), 'rate')
          : still < sample.length
            ? refused('Some replicates moved and some did not, so they have no common rate.')
            : upperRatio(sample.map(of), of(reference));
      const halfTime = halfTimeRatio(sample, reference);
      const reasons = [rate.reason, halfTime.reason, rate.ratio === null ? null : remark].filter((one) => one !== null);
      return {
        reference: reference.vial.region,
        rate_ratio: rate.ratio,
        rate_basis: rate.ratio === null ? null : basis,
        half_time_ratio: halfTime.ratio,
        reason: reasons.length === 0 ? null : reasons.join(' '),
      };
    });
}

function refused(reason: string): Said {
  return { ratio: null, reason };
}

function halfTimeRatio(sample: readonly JudgedVial[], reference: JudgedVial): Said {
  const censored = ({ fit }: JudgedVial): boolean => fit.halfTimeS === null || fit.halfTimeS.censored !== 'none';
  if (censored(reference)) return refused('The reference passed no half-time within its frames.');
  if (sample.some(censored)) return refused('No half-time of the sample lies within its frames.');
  return ratioOf(
    sample.map(({ fit }) => fit.halfTimeS),
    reference.fit.halfTimeS,
    'half-time',
  );
}

function ratioOf(above: readonly (Estimate | null)[], below: Estimate | null, what: string): Said {
  if (below === null || below.se === null || !(below.value > 0)) {
    return refused(`The ${what} of the reference is not determined.`);
  }
  const known = above.flatMap((one) => (one === null || one.se === null ? [] : [{ value: one.value, se: one.se }]));
  if (known.length < above.length) return refused(`The ${what} of the sample is not determined.`);
  const values = known.map(({ value }) => value);
  const n = known.length;
  const fitted = known.reduce((sum, { se }) => sum + se ** 2, 0) / n ** 2;
  const centre = mean(values);
  const scatter = n < 2 ? 0 : values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (n - 1) / n;
  const numeratorVariance = Math.max(fitted, scatter);
  const denominatorVariance = below.se ** 2;
  if (!Number.isFinite(numeratorVariance + denominatorVariance + centre) || !(numeratorVariance > 0)) {
    return refused(`The error of the sample's ${what} is not determined.`);
  }
  const set = fiellerInterval({
    numerator: centre,
    denominator: below.value,
    numeratorVariance,
    denominatorVariance,
    covariance: 0,
    criticalValue: normalQuantile(0.975),
  });
  const value = centre / below.value;
  if (set.kind !== 'bounded') {
    const reason = `The ${what} of the reference is not known from zero, so the ratio has no bounds.`;
    return { ratio: { value, se: null, ci95: [null, null], bounded: false }, reason };
  }
  const se = Math.sqrt(numeratorVariance + value ** 2 * denominatorVariance) / Math.abs(below.value);
  return { ratio: { value, se, ci95: [set.lower, set.upper], bounded: true }, reason: null };
}

/**
 * "Less than X": the upper limit of the still vials' rate over the lower limit of the reference's; each is a 97.5 % limit, so that
 * both hold with 95 % at least.
 */
function upperRatio(above: readonly (Estimate | null)[], below: Estimate | null): Said {
  const low = below?.ci95[0] ?? null;
  const limits = above.map((one) => one?.ci95[1] ?? null);
  const known = limits.filter((limit) => limit !== null);
  if (low === null || !(low > 0) || known.length < limits.length) {
    return refused('The sample did not move beyond chance, and no upper limit of its rate could be given.');
  }
  return {
    ratio: { value: 0, se: null, ci95: [0, Math.max(...known) / low], bounded: true },
    reason: 'The sample did not move beyond chance: the rate ratio is an upper limit only, for a straight rise.',
  };
}
