import type { Quantity } from '../model/run.ts';
import { positiveOf, widened } from './log-ratio.ts';
import type { Positive } from './log-ratio.ts';
import type { RateBasis } from '../model/result.ts';
import type { Situation } from './situation.ts';
import type { JudgedVial } from './types.ts';

/** Models whose one constant is the whole shape, so that constants compare like with like. */
const oneConstant: readonly (string | null)[] = ['first-order', 'zero-order', 'second-order'];

/**
 * Molar amounts within this factor count as equal. Chosen: an apparent constant goes with the amount of sample, and 5 % is
 * what a constant is known to; 1-butanol and tert-butanol by equal volumes are 4 % apart.
 */
const equalWithin = 1.05;

/** What two sets of vials are compared by, and each vial's number for it. */
export interface ComparableRates {
  readonly basis: RateBasis;
  readonly of: (judged: JudgedVial) => Positive | null;
  /** Upper limit of a vial that did not move, in the same unit; `null`: none. */
  readonly limitOf: (judged: JudgedVial) => number | null;
  /** Said with the ratio where it holds under a condition; else `null`. */
  readonly remark: string | null;
}

/**
 * Constants only where all vials follow the same one-constant model and hold equal molar amounts of sample; else initial
 * rates; per mole of sample where the amounts are known to differ. Amounts that the run file does not tell are taken as equal,
 * and that is said. The reagent is one for the rack, so it cancels.
 */
export function comparableRates(situation: Situation, vials: readonly JudgedVial[]): ComparableRates {
  const moles = vials.map(({ index }) => situation.input.amounts[index]?.sampleMol ?? null);
  const known = moles.filter((amount) => amount !== null && amount.value > 0);
  const values = known.map((amount) => amount!.value);
  const allKnown = known.length === vials.length;
  const limitOf = ({ fit }: JudgedVial): number | null => fit.initialRate?.ci95[1] ?? null;
  if (allKnown && Math.max(...values) > equalWithin * Math.min(...values)) {
    return {
      basis: 'initial rate per mole',
      of: ({ fit, index }) =>
        perMole(positiveOf(fit.initialRate, fit.pathRelative?.rate), situation.input.amounts[index]!.sampleMol!),
      limitOf: (judged) => {
        const limit = limitOf(judged);
        return limit === null ? null : limit / situation.input.amounts[judged.index]!.sampleMol!.value;
      },
      remark: 'The vials hold different molar amounts of sample, so initial rates per mole are compared.',
    };
  }
  const models = new Set(vials.map(({ fit }) => fit.model));
  const alike = models.size === 1 && oneConstant.includes(vials[0]?.fit.model ?? null);
  return {
    basis: alike ? 'rate constant' : 'initial rate',
    of: ({ fit }) => positiveOf(alike ? fit.rateConstant : fit.initialRate, fit.pathRelative?.rate),
    limitOf,
    remark: allKnown ? null : 'The run file does not tell the molar amounts of sample; they are taken as equal.',
  };
}

function perMole(rate: Positive | null, { value, u }: Quantity): Positive | null {
  return rate === null ? null : widened({ ...rate, value: rate.value / value }, (u ?? 0) / value);
}
