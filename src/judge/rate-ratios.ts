import type { ResultRatio, ResultSample } from '../model/result.ts';
import { comparableRates } from './comparable-rates.ts';
import { logRatio, lowerBound, meanOf, positiveOf } from './log-ratio.ts';
import type { Positive } from './log-ratio.ts';
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
 * The interval is that of `logRatio` with the errors of the fits, and the scatter of replicates where larger; of a single vial the
 * spread between vials is not in it. A sample that did not move has an upper limit only: value 0, no standard error.
 */
export function against(situation: Situation, members: readonly JudgedVial[]): ResultSample['against'] {
  const usable = ({ fit, trouble }: JudgedVial): boolean =>
    fit.model !== null && trouble?.code !== 'two-layers' && trouble?.code !== 'own-path';
  const sample = members.filter(usable);
  if (sample.length === 0) return [];
  return situation.vials
    .filter(({ vial }) => vial.role === 'positive' || vial.role === 'negative' || vial.role === 'standard')
    .filter((reference) => usable(reference) && hasMoved(reference))
    .map((reference) => {
      const { basis, of, limitOf, remark } = comparableRates(situation, [...sample, reference]);
      const still = sample.filter(({ fit }) => fit.model === 'none').length;
      const rate =
        still === 0
          ? ratioOf(sample.map(of), of(reference), 'rate')
          : still < sample.length
            ? refused('Some replicates moved and some did not, so they have no common rate.')
            : upperRatio(sample.map(limitOf), of(reference));
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
  const timeOf = ({ fit }: JudgedVial): Positive | null => positiveOf(fit.halfTimeS, fit.pathRelative?.halfTime);
  return ratioOf(sample.map(timeOf), timeOf(reference), 'half-time');
}

function ratioOf(above: readonly (Positive | null)[], below: Positive | null, what: string): Said {
  if (below === null) return refused(`The ${what} of the reference is not determined.`);
  const known = above.filter((one) => one !== null);
  if (known.length < above.length) return refused(`The ${what} of the sample is not determined.`);
  const numerator = meanOf(known);
  if (!(numerator.relativeSe > 0)) return refused(`The error of the sample's ${what} is not determined.`);
  const ratio = logRatio(numerator, below);
  if (ratio.bounded) return { ratio, reason: null };
  const whose =
    below.below === null
      ? `The ${what} of the reference is not known from zero`
      : `The sample's ${what} has no upper bound`;
  return { ratio, reason: `${whose}, so the ratio has no upper bound.` };
}

/**
 * "Less than X": the upper limit of the still vials' rate over the lower limit of the reference's; each is a 97.5 % limit, so that
 * both hold with 95 % at least.
 */
function upperRatio(limits: readonly (number | null)[], below: Positive | null): Said {
  const low = below === null ? null : lowerBound(below);
  const known = limits.filter((limit) => limit !== null);
  if (low === null || known.length < limits.length) {
    return refused('The sample did not move beyond chance, and no upper limit of its rate could be given.');
  }
  return {
    ratio: { value: 0, se: null, ci95: [0, Math.max(...known) / low], bounded: true },
    reason: 'The sample did not move beyond chance: the rate ratio is an upper limit only, for a straight rise.',
  };
}
