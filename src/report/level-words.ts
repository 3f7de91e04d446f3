import type { Result, ResultLevel } from '../model/result.ts';
import { formatSignificant, unknown } from './round.ts';

/** A level in words: the number with its unit, its interval, and the same amount counted as single substances. */
export interface LevelWords {
  readonly said: string;
  readonly details: readonly string[];
  readonly countedAs: readonly string[];
}

const apparent = ' (apparent)';
const asStandards = ', as the spiked standards';
const equivalents = 'micro-equivalents per mol of sample';
const counted = /^as (.+) \((\d+) electrons\) (\S+) mol %$/;

/** Level found, or the limit below which this run would have seen nothing. */
export function levelWords(level: ResultLevel | null): LevelWords {
  if (level === null) return { said: unknown, details: [], countedAs: [] };
  const { unit, others } = partsOf(level);
  const sign = level.value === null ? '< ' : level.only_more_than ? '> ' : '';
  const countedAs = others.map((part) => part.replace(counted, `${sign}$3\u00a0mol\u00a0% as $1`));
  const [lower, upper] = level.ci95;
  const bound = upper ?? level.limit;
  const { short, divisor } = shortUnit(unit, level.value ?? bound ?? 0);
  const digits = (value: number): string => formatSignificant(value / divisor, 2);
  if (level.value === null)
    return { said: bound === null ? unknown : `below ${digits(bound)} ${short}`, details: [], countedAs };
  const said = `${digits(level.value)} ${short}`;
  if (level.only_more_than) return { said: `more than ${said}`, details: [], countedAs };
  const interval = lower === null || upper === null ? [] : [`${digits(lower)} to ${digits(upper)}`];
  return { said, details: interval, countedAs };
}

/** Head of the column of levels: what holds for all of them is said once. */
export function levelHead({ samples }: Result): string {
  const all = samples.flatMap(({ level }) => (level === null ? [] : [level.as]));
  const once = [apparent, asStandards].filter((words) => all.some((as) => as.includes(words)));
  return `Level${once.join('')}, 95\u00a0%`;
}

/** How equivalents are counted as substances, said once for all samples; empty where no level is counted so. */
export function countingRules({ samples }: Result): string {
  const rules = new Map<string, string>();
  for (const { level } of samples) {
    for (const part of level === null ? [] : partsOf(level).others) {
      const [, substance, electrons] = counted.exec(part) ?? [];
      // a hundredth of a mole of it, each molecule giving so many electrons, in meq
      if (substance !== undefined)
        rules.set(substance, `÷ ${10 * Number(electrons)} as ${substance} (${electrons}\u00a0e⁻)`);
    }
  }
  return rules.size === 0 ? '' : `mol\u00a0% = meq/mol ${[...rules.values()].join(', ')}.`;
}

function partsOf({ as }: ResultLevel): { readonly unit: string; readonly others: readonly string[] } {
  const [unit = '', ...rest] = as.split(';').map((part) => part.trim());
  return { unit, others: rest.flatMap((part) => part.split(/, (?=as )/)) };
}

/** Equivalents by their symbol, with the prefix that keeps the number below a thousand where it can. */
function shortUnit(unit: string, size: number): { readonly short: string; readonly divisor: number } {
  const plain = unit.replace(apparent, '').replace(asStandards, '');
  if (!plain.includes(equivalents)) return { short: plain, divisor: 1 };
  const milli = Math.abs(size) >= 1000;
  return { short: plain.replace(equivalents, milli ? 'meq/mol' : 'µeq/mol'), divisor: milli ? 1000 : 1 };
}
