import type { Outcome, ResultSample } from '../model/result.ts';
import type { Bounds } from './bounds.ts';
import { negativesAgainstBlank } from './controls.ts';
import type { Difference } from './difference.ts';
import type { SampleGroup } from './groups.ts';
import { regionsText } from './obstacles.ts';
import type { Judgeable } from './obstacles.ts';
import { oneVialMore } from './one-vial-more.ts';
import { unsteadyCamera } from './unsteady-camera.ts';
import { whyNotResisted } from './why-not-resisted.ts';
import type { Situation } from './situation.ts';
import { countText, durationText, extentText, percentText } from './text.ts';
import type { JudgedVial } from './types.ts';

export interface Verdict {
  readonly outcome: Outcome;
  readonly reason: string;
  readonly bound: ResultSample['bound'];
}

/** What is known of one sample when its outcome is decided. */
export interface Evidence {
  readonly sample: SampleGroup;
  readonly members: readonly JudgedVial[];
  readonly leftOut: Judgeable['leftOut'];
  readonly difference: Difference | null;
  readonly bounds: Bounds | null;
  /** Factor by which extents may be off either way; 1 when both ends of the path are pinned. */
  readonly scale: number;
  readonly smallestMargin: number | null;
}

/**
 * The contract's rule: `reacted` when the lower bound of D is above the margin, `resisted` when the upper bound is below it and
 * nothing forbids it, else `undecided`. Every outcome has its reason.
 */
export function outcomeOf(situation: Situation, evidence: Evidence): Verdict {
  const { margin, input, readingTime } = situation;
  const { difference, bounds, leftOut, members, scale } = evidence;
  const { alpha } = input.run;
  const aside = leftOut.length > 0 ? ` Left out: ${leftOut.map((entry) => entry.sentence).join('; ')}.` : '';
  if (members.length === 0) return undecided(`${leftOut.map((entry) => entry.sentence).join('; ')}.`);
  const unsteady = unsteadyCamera(situation);
  if (unsteady !== null) return undecided(unsteady);
  if (difference === null || bounds === null) return undecided(noYardstick(situation));
  const turned = negativesAgainstBlank(situation).filter(({ state }) => state === 'turned');
  if (turned.length > 0)
    return undecided(
      negativesTurned(
        situation,
        turned.map(({ judged }) => judged),
      ),
    );

  const at = `Extent ${durationText(readingTime.readAtS)} after dosing is ${placed(difference.value)} the mean of ${countText(situation.negatives.length, 'negative reference')}`;
  const lower = { side: 'lower', value: bounds.lower, alpha } as const;
  const upper = { side: 'upper', value: bounds.upper, alpha } as const;
  const limit = `${extentText(margin.value)}`;
  if (bounds.above) {
    const relative =
      scale > 1
        ? ` Extents are relative (no plateau was reached), but this holds even if they are ${scale} times too large.`
        : '';
    const assumed = situation.spreadAssumed
      ? ' One negative reference shows no spread: a large spread between vials was assumed, and the difference exceeds even that.'
      : '';
    return {
      outcome: 'reacted',
      reason: `${at}; the lower bound ${extentText(bounds.lower)} (risk ${percentText(alpha)} over all samples) is above the margin ${limit}.${oneVialMore(evidence)}${relative}${assumed}${aside}`,
      bound: lower,
    };
  }
  const bound = difference.value > margin.value ? lower : upper;
  const obstacle = whyNotResisted(situation, evidence);
  if (bounds.upper * scale < margin.value && obstacle === null) {
    return {
      outcome: 'resisted',
      reason: `${at}; the upper bound ${extentText(bounds.upper)} (risk ${percentText(alpha)} for this sample) is below the margin ${limit}.${scale > 1 ? ` Extents are relative (no plateau was reached), but this holds even if they are ${scale} times too small.` : ''}${aside}`,
      bound: upper,
    };
  }
  const close = `${at}, which is not far enough from the margin ${limit} to decide: bounds ${extentText(bounds.lower)} (for reacted) and ${extentText(bounds.upper)} (for resisted).`;
  const own = bound.side === 'lower' ? oneVialMore(evidence) : '';
  const advice = own === '' ? ' More negative references or replicates narrow the bounds.' : own;
  const reason = obstacle === null ? `${close}${advice}` : obstacle;
  return { outcome: 'undecided', reason: `${reason}${obstacle === null ? '' : ` ${at}.`}${aside}`, bound };
}

function undecided(reason: string): Verdict {
  return { outcome: 'undecided', reason, bound: null };
}

function placed(value: number): string {
  return value >= 0 ? `${extentText(value)} above` : `${extentText(-value)} below`;
}

function noYardstick({ vials, readingTime }: Situation): string {
  const negatives = vials.filter(({ vial }) => vial.role === 'negative');
  if (negatives.length === 0)
    return 'No negative reference is in the rack, so there is nothing to compare with: add at least two.';
  const troubled = negatives.flatMap(({ trouble }) => (trouble === null ? [] : [trouble.sentence]));
  if (troubled.length === negatives.length) {
    return `No negative reference can serve as yardstick, so there is nothing to compare with: ${troubled.join('; ')}.`;
  }
  const early = negatives.every(({ notRead }) => notRead === 'stopped-early');
  const why = early ? 'stopped early: ' : '';
  return `${why}no negative reference could be read at the reading time of ${durationText(readingTime.readAtS)}, so there is nothing to compare with.`;
}

function negativesTurned({ margin, blanks }: Situation, turned: readonly JudgedVial[]): string {
  const yardstick = blanks.length === 0 ? 'the start of the run' : 'the blank';
  return `The negative references are no yardstick at the reading time: ${regionsText(turned)} had turned by more than the margin ${extentText(margin.value)} against ${yardstick}. Read earlier, or find out whether ${turned.length === 1 ? 'it was' : 'they were'} pure.`;
}
