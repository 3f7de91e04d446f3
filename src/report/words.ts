import type { ModelName } from '../model/fit.ts';
import type { Outcome, Result, ResultLevel, ResultSample, ResultTime } from '../model/result.ts';
import type { Role } from '../model/run.ts';
import { durationStep, formatDuration } from './duration.ts';
import { decimalsFor, formatInterval, formatSignificant, formatTime, unknown } from './round.ts';

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

/** `2 reacted, 1 undecided, 1 resisted`, leaving out what did not occur. */
export function outcomeCount(result: Result): string {
  const counts = outcomeOrder
    .map((outcome) => [outcome, result.samples.filter((sample) => sample.outcome === outcome).length] as const)
    .filter(([, count]) => count > 0);
  return counts.length === 0 ? 'no samples' : counts.map(([outcome, count]) => `${count} ${outcome}`).join(', ');
}

/**
 * Level found, or the limit below which this run would have seen nothing; `details` is what the run says beside it, such
 * as the same amount counted as another substance.
 */
export function levelWords(level: ResultLevel | null): { readonly said: string; readonly details: readonly string[] } {
  if (level === null) return { said: unknown, details: [] };
  const [unit = '', ...rest] = level.as.split(';').map((part) => part.trim());
  const sign = level.value === null ? '< ' : level.only_more_than ? '> ' : '';
  const also = rest.flatMap((part) => part.split(/, (?=as )/)).map((part) => countedAs(part, sign));
  const [lower, upper] = level.ci95;
  const bound = upper ?? level.limit;
  const { short, divisor } = shortUnit(unit, level.value ?? bound ?? 0);
  const digits = (value: number): string => formatSignificant(value / divisor, 2);
  if (level.value === null)
    return { said: bound === null ? unknown : `below ${digits(bound)} ${short}`, details: also };
  const said = `${digits(level.value)} ${short}`;
  if (level.only_more_than) return { said: `more than ${said}`, details: also };
  const interval = lower === null || upper === null ? [] : [`95 %: ${digits(lower)} to ${digits(upper)}`];
  return { said, details: [...interval, ...also] };
}

/** `as 1-butanol (4 electrons) 0.56 mol %` with the number first, behind the sign of a bound; anything else as it stands. */
function countedAs(part: string, sign: string): string {
  return part.replace(/^as (.+) \((\d+) electrons\) (\S+) mol %$/, `${sign}$3\u00a0mol\u00a0% as $1 ($2\u00a0e⁻)`);
}

const apparent = ' (apparent)';

/** Head of the column of levels: what holds for all of them is said once. */
export function levelHead(result: Result): string {
  return result.samples.some(({ level }) => level?.as.includes(apparent)) ? `Level${apparent}` : 'Level';
}

/** Equivalents by their symbol, with the prefix that keeps the number below a thousand where it can. */
function shortUnit(unit: string, size: number): { readonly short: string; readonly divisor: number } {
  const long = 'micro-equivalents per mol of sample';
  const plain = unit.replace(apparent, '');
  if (!plain.includes(long)) return { short: plain, divisor: 1 };
  const milli = Math.abs(size) >= 1000;
  return { short: plain.replace(long, milli ? 'meq/mol' : 'µeq/mol'), divisor: milli ? 1000 : 1 };
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
  return { said: rounded(first.value), detail: formatInterval([lower, upper], rounded) };
}
