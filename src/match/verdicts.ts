import type { Measured } from './compare.ts';
import type { Comparison, Verdict } from './types.ts';

const lowest = (pair: Measured): number =>
  Math.min(1, (pair.history === null ? 1 : 2) * Math.min(pair.final.pDiffers, pair.history?.pDiffers ?? 1));
const highest = (pair: Measured): number => Math.max(pair.final.pAgrees, pair.history?.pAgrees ?? 0);

/**
 * Which pairs differ, at a risk of `alpha` for all of them together: S. Holm's step-down procedure (Scand. J. Statist. 6:65, 1979);
 * final colour and history of one pair count as two tests.
 */
export function differing(pairs: readonly Measured[], alpha: number): readonly boolean[] {
  const order = pairs.map((pair, index) => ({ p: lowest(pair), index })).sort((one, other) => one.p - other.p);
  const differs = pairs.map(() => false);
  for (let rank = 0; rank < order.length; rank += 1) {
    if (order[rank]!.p > alpha / (order.length - rank)) break;
    differs[order[rank]!.index] = true;
  }
  return differs;
}

/**
 * Whether a pair agrees in every view, at a risk of `alpha` of calling two liquids alike that are the margin apart. `rivals`: how many
 * knowns, itself counted, are so near each other that one sample could be mixed up with any of them.
 */
export function agrees(pair: Measured, alpha: number, rivals: number): boolean {
  return highest(pair) <= alpha / rivals;
}

/** The verdict on one pair with its reason in words. Agreement goes first: a real difference within the margin does not matter. */
export function verdictOf(pair: Measured, isDifferent: boolean, isAlike: boolean, hasReplicates: boolean): Comparison {
  const verdict: Verdict = isAlike ? 'agrees' : isDifferent ? 'differs' : 'cannot tell';
  return { ...pair, verdict, reason: reasonOf(pair, verdict, hasReplicates) };
}

const digits = (value: number): string => value.toFixed(1);

function reasonOf(pair: Measured, verdict: Verdict, hasReplicates: boolean): string {
  const { final, history } = pair;
  const cut =
    pair.clipped.length === 0 ? '' : `; ${pair.clipped.join(' and ')} was cut off in both and is not compared`;
  if (verdict === 'agrees') {
    return `final colours ${digits(final.value)} apart, within the margin of ${digits(final.margin)}${paceWords(pair)}${cut}`;
  }
  if (verdict === 'differs') {
    return history !== null && history.pDiffers < final.pDiffers && history.value > final.value
      ? `the colours on the way are ${digits(history.value)} apart even with time stretched`
      : `final colours are ${digits(final.value)} apart, more than the noise of like vials explains`;
  }
  if (!hasReplicates) return 'no known and no sample has a second vial, so the noise of like vials is not known';
  return `final colours ${digits(final.value)} apart: too far to agree surely within ${digits(final.margin)}, too near to differ surely; more vials would tell${cut}`;
}

function paceWords({ historyUnstretched, history, stretch }: Measured): string {
  if (historyUnstretched === null || history === null || stretch === null) return '';
  const { margin } = history;
  if (historyUnstretched <= margin || history.value > margin) return ', and so are the colours on the way';
  const times = stretch > 1 ? stretch : 1 / stretch;
  return `; the way there has the same colours at another pace (${times.toFixed(2)} times as ${stretch > 1 ? 'slow' : 'fast'} as the known)`;
}
