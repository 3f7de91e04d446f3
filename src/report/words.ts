import type { ModelName } from '../model/fit.ts';
import type { Outcome, Result, ResultSample, ResultTime } from '../model/result.ts';
import type { Role } from '../model/run.ts';
import { durationStep, formatDuration } from './duration.ts';
import { decimalsFor, formatTime, unknown } from './round.ts';

/** The models in words a chemist would use. */
export const modelWords: Readonly<Record<ModelName, string>> = {
  none: 'no change',
  'zero-order': 'zero order',
  'first-order': 'first order',
  'first-order-induction': 'first order, delayed',
  'burst-background': 'burst + background',
  consecutive: 'consecutive steps',
  sigmoid: 'sigmoid',
  'second-order': 'second order',
};

export const roleWords: Readonly<Record<Role, string>> = {
  blank: 'blank',
  positive: 'positive',
  negative: 'negative',
  standard: 'standard',
  mixture: 'mixture',
  known: 'known',
  sample: 'sample',
};

const outcomeOrder: readonly Outcome[] = ['reacted', 'undecided', 'resisted'];

/**
 * The order in which samples are listed, drawn from the question asked (which lots are bad?): not as expected, then
 * undecided, then reacted or resisted where nothing was expected, then as expected; within each, the largest difference
 * first; those that read alike stay in the order of the rack.
 */
export function samplesInOrder(result: Result): readonly ResultSample[] {
  const size = ({ extent_difference: difference }: ResultSample): number =>
    difference === null
      ? -Infinity
      : Number(difference.value.toFixed(Math.max(0, decimalsFor(difference.value, difference.se))));
  return [...result.samples].sort((first, second) => {
    const rank = rankOf(first) - rankOf(second);
    return rank !== 0 ? rank : size(first) === size(second) ? 0 : size(second) - size(first);
  });
}

function rankOf({ outcome, as_expected: expected }: ResultSample): number {
  if (expected === false) return 0;
  if (outcome === 'undecided') return 1;
  if (expected === true) return 4;
  return outcome === 'reacted' ? 2 : 3;
}

/** Whether the run may be believed, from its checks. */
export type Trust = 'passed' | 'read with care' | 'do not use';

export function trustOf(result: Result): Trust {
  if (result.checks.some((check) => check.status === 'fail')) return 'do not use';
  return result.checks.some((check) => check.status === 'warn') ? 'read with care' : 'passed';
}

/** What is said of earlier judgements of the same film with other settings; `null`: there were none. */
export function judgedBefore({ run }: Result): string | null {
  return run.assumptions.find((sentence) => /^Judged (once|\d+ times) before /.test(sentence)) ?? null;
}

/** `2 reacted, 1 undecided, 1 resisted`, leaving out what did not occur. */
export function outcomeCount(result: Result): string {
  const counts = outcomeOrder
    .map((outcome) => [outcome, result.samples.filter((sample) => sample.outcome === outcome).length] as const)
    .filter(([, count]) => count > 0);
  return counts.length === 0 ? 'no samples' : counts.map(([outcome, count]) => `${count} ${outcome}`).join(', ');
}

/**
 * Earliest onset among a sample's vials, with the digits its interval deserves and the interval; a sample without any
 * says until when none was seen.
 */
export function onsetWords(onsets: readonly (ResultTime | null)[]): { readonly said: string; readonly detail: string } {
  const known = onsets.filter((onset) => onset !== null);
  const [first] = known.filter((onset) => onset.censored !== 'right').sort((a, b) => a.value - b.value);
  if (first === undefined) {
    if (known.length === 0) return { said: unknown, detail: '' };
    return { said: `none by ${formatDuration(Math.min(...known.map((onset) => onset.value)))}`, detail: '' };
  }
  if (first.censored === 'left') {
    return { said: first.value <= 0 ? 'from the start' : formatTime(first), detail: '' };
  }
  const [lower, upper] = first.ci95;
  const error = first.se ?? (lower === null || upper === null ? null : (upper - lower) / 4);
  const step = durationStep(error === null ? null : Math.min(error, first.value));
  const rounded = (seconds: number): string => formatDuration(step * Math.round(seconds / step));
  if (lower === null && upper === null) return { said: rounded(first.value), detail: '' };
  return { said: rounded(first.value), detail: betweenTimes([lower, upper], rounded) };
}

/** A time's interval: `41 to 45 min`, `0 to 1 h 20 min`, `before 5 min`, `after 5 min`; from zero without an end it excludes nothing. */
function betweenTimes(
  [lower, upper]: readonly [number | null, number | null],
  format: (seconds: number) => string,
): string {
  const from = lower === null || format(lower) === '0 s' ? null : format(lower);
  if (upper === null) return from === null ? 'at any time' : `after ${from}`;
  const to = format(upper);
  if (from === null) return lower === null ? `before ${to}` : `0 to ${to}`;
  const plain = /^(\d+) (s|min)$/;
  const [, number, unit] = plain.exec(from) ?? [];
  return unit !== undefined && plain.exec(to)?.[2] === unit ? `${number} to ${to}` : `${from} to ${to}`;
}
