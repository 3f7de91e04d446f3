import type { Result } from '../model/result.ts';
import { formatDuration } from '../report/duration.ts';
import { formatLike, formatWithError } from '../report/round.ts';
import { samplesInOrder, trustOf } from '../report/words.ts';
import { printable, wrapped } from './printable.ts';

const width = 80;
const labelWidth = 22;
/** Checks named in the summary; the report has them all. */
const checksNamed = 4;

/**
 * What an analysis found, for a terminal of 80 columns: a line a sample in the order of the report, with its reason
 * where nothing could be decided; whether to believe the run; where the report is.
 */
export function summaryOf(result: Result, report: string): string {
  const { run } = result;
  const when = run.read_at_declared ? 'as declared' : 'the end of the run: no time was declared';
  const glance = run.glance ? ', at a glance' : '';
  const title = `${run.name}: ${run.reaction}, read at ${formatDuration(run.read_at_s)} (${when}), margin ${Number(run.margin.toPrecision(2))}${glance}`;
  const lines = [
    wrapped(printable(title), width, '  '),
    '',
    ...(result.samples.length === 0 ? ['  no samples in this run'] : sampleLines(result)),
    '',
    ...trustLines(result),
    `Report: ${printable(report)}`,
  ];
  return `${lines.join('\n')}\n`;
}

function sampleLines(result: Result): readonly string[] {
  const samples = samplesInOrder(result);
  const cells = samples.map((sample) => [
    sample.outcome,
    clipped(printable(sample.label)),
    formatWithError(sample.extent_difference),
    sample.bound === null
      ? ''
      : `${sample.bound.side} ${formatLike(sample.bound.value, sample.extent_difference?.se ?? null)}`,
    sample.as_expected === false ? 'unexpected' : '',
  ]);
  const heads = ['', 'sample', 'difference', 'bound', ''];
  const widths = heads.map((head, column) => Math.max(...[head, ...cells.map((row) => row[column]!)].map(lengthOf)));
  const lineOf = (row: readonly string[]): string =>
    `  ${row.map((cell, column) => cell + ' '.repeat(widths[column]! - lengthOf(cell))).join('  ')}`.trimEnd();
  const indent = ' '.repeat(widths[0]! + 4);
  return [
    lineOf(heads),
    ...cells.flatMap((row, index) => {
      const { outcome, reason } = samples[index]!;
      return [
        lineOf(row),
        ...(outcome === 'undecided' ? [indent + wrapped(printable(reason), width - indent.length, indent)] : []),
      ];
    }),
  ];
}

/** Characters as a reader counts them. */
const segments = (text: string): readonly string[] =>
  [...new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(text)].map(({ segment }) => segment);
const lengthOf = (text: string): number => segments(text).length;

/** The label in a column of at most 22 characters. */
function clipped(label: string): string {
  const characters = segments(label.replaceAll('\n', ' '));
  return characters.length <= labelWidth ? characters.join('') : `${characters.slice(0, labelWidth - 1).join('')}…`;
}

function trustLines(result: Result): readonly string[] {
  const doubtful = [
    ...result.checks.filter(({ status }) => status === 'fail'),
    ...result.checks.filter(({ status }) => status === 'warn'),
  ];
  const passed = result.checks.filter(({ status }) => status === 'pass').length;
  const named = doubtful
    .slice(0, checksNamed)
    .map(({ status, message }) => `  ${wrapped(printable(`${status}: ${message}`), width - 2, '    ')}`);
  const more = doubtful.length - named.length;
  return [
    `Trust: ${trustOf(result)} (${passed} of ${result.checks.length} checks passed)`,
    ...named,
    ...(more > 0 ? [`  and ${more} more in the report`] : []),
  ];
}
