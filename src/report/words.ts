import type { ModelName } from '../model/fit.ts';
import type { Outcome, Result, ResultLevel, ResultSample, ResultTime } from '../model/result.ts';
import type { Role } from '../model/run.ts';
import { formatDuration } from './duration.ts';
import { formatSignificant, formatTime } from './round.ts';

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

/** Bad news first: the order in which samples are listed. */
const outcomeOrder: readonly Outcome[] = ['reacted', 'undecided', 'resisted'];

export function samplesInOrder(result: Result): readonly ResultSample[] {
  return outcomeOrder.flatMap((outcome) => result.samples.filter((sample) => sample.outcome === outcome));
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
 * Level found, or the limit below which this run would have seen nothing; `detail` is what the run says beside it, such
 * as the same amount counted as another substance.
 */
export function levelWords(level: ResultLevel | null): { readonly said: string; readonly detail: string } {
  if (level === null) return { said: '–', detail: '' };
  const [unit = '', ...rest] = level.as.split(';');
  const short = unit.trim().replace('micro-equivalents per mol of sample', 'µeq/mol');
  const detail = rest.join(';').trim();
  const digits = (value: number): string => formatSignificant(value, 2);
  const [lower, upper] = level.ci95;
  if (level.value !== null) {
    const interval = lower === null || upper === null ? '' : ` (95 %: ${digits(lower)} to ${digits(upper)})`;
    const said = `${digits(level.value)} ${short}`;
    return { said: level.only_more_than ? `more than ${said}` : `${said}${interval}`, detail };
  }
  const bound = upper ?? level.limit;
  return { said: bound === null ? '–' : `below ${digits(bound)} ${short}`, detail };
}

/** Earliest onset among a sample's vials; a sample without any says until when none was seen. */
export function onsetWords(onsets: readonly (ResultTime | null)[]): string {
  const known = onsets.filter((onset) => onset !== null);
  const seen = known.filter((onset) => onset.censored !== 'right').sort((a, b) => a.value - b.value);
  if (seen[0] !== undefined) {
    return seen[0].censored === 'left' && seen[0].value <= 0 ? 'from the start' : formatTime(seen[0]);
  }
  if (known[0] === undefined) return '–';
  return `none by ${formatDuration(Math.min(...known.map((onset) => onset.value)))}`;
}
