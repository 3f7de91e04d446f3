import type { Result, ResultSample } from '../model/result.ts';
import { formatDuration } from '../report/duration.ts';
import { formatLike, formatWithError } from '../report/round.ts';
import { reasonsOf } from '../report/shared-reasons.ts';
import { windowWords } from '../report/window-words.ts';
import { samplesInOrder, trustOf } from '../report/words.ts';
import { columnsOf, printable, shortName, wrapped } from './printable.ts';

/** Columns of the longest label shown, where there is room for it, and of the shortest that one is cut to. */
const labelWidth = { most: 22, least: 8 } as const;
/** In fewer columns there is no room for the bound, which the report has. */
const narrow = 72;
/** Checks named in the summary; the report has them all. */
const checksNamed = 4;

/**
 * What an analysis found, for a terminal of so many columns (50 at the least): a line a sample in the order of the report,
 * with its reason where nothing could be decided, said once where several share it; whether to believe the run; where the
 * report is. Samples that would read alike bear their vials.
 */
export function summaryOf(result: Result, report: string, width = 80): string {
  const { run } = result;
  const when = run.read_at_declared ? 'as declared' : 'the end of the run: no time was declared';
  const glance = run.glance ? ', at a glance' : '';
  const window = windowWords(result);
  const title = `${run.name}: ${run.reaction}, read at ${formatDuration(run.read_at_s)} (${when}), margin ${Number(run.margin.toPrecision(2))}${glance}`;
  const lines = [
    wrapped(printable(title), width, '  '),
    '',
    ...(result.samples.length === 0 ? ['  no samples in this run'] : sampleLines(result, width)),
    '',
    ...(window === '' ? [] : [wrapped(`${window}.`, width, '  ')]),
    ...trustLines(result, width),
    `Report: ${printable(report)}`,
  ];
  return `${lines.join('\n')}\n`;
}

function sampleLines(result: Result, width: number): readonly string[] {
  const samples = samplesInOrder(result);
  const bounds = width >= narrow;
  const rest = samples.map((sample) => [
    formatWithError(sample.extent_difference),
    sample.bound === null || !bounds
      ? ''
      : `${sample.bound.side} ${formatLike(sample.bound.value, sample.extent_difference?.se ?? null)}`,
    sample.as_expected === false ? 'unexpected' : '',
  ]);
  const heads = ['', 'sample', 'difference', bounds ? 'bound' : '', ''];
  const widest = (column: number): number =>
    Math.max(...[heads[column + 2]!, ...rest.map((row) => row[column]!)].map(columnsOf));
  // indent, outcome and the gaps between five columns
  const room = width - 2 - 'undecided'.length - 8 - widest(0) - widest(1) - widest(2);
  const labels = shortLabels(samples, Math.min(labelWidth.most, Math.max(labelWidth.least, room)));
  const cells = samples.map((sample, at) => [sample.outcome, labels[at]!, ...rest[at]!]);
  const widths = heads.map((head, column) => Math.max(...[head, ...cells.map((row) => row[column]!)].map(columnsOf)));
  const lineOf = (row: readonly string[]): string =>
    `  ${row.map((cell, column) => cell + ' '.repeat(Math.max(0, widths[column]! - columnsOf(cell)))).join('  ')}`.trimEnd();
  const indent = ' '.repeat(widths[0]! + 4);
  const { shared, at } = reasonsOf(samples.filter(({ outcome }) => outcome === 'undecided'));
  return [
    lineOf(heads),
    ...cells.flatMap((row, index) => {
      const sample = samples[index]!;
      if (sample.outcome !== 'undecided') return [lineOf(row)];
      const { short, own } = at(sample);
      const whole = lineOf([...row.slice(0, -1), short.join(', ')]);
      if (own === '' && columnsOf(whole) <= width) return [whole];
      const said = [short.join(', '), own].filter((words) => words !== '').join(': ');
      return [lineOf(row), wrapped(printable(said), width, indent, indent)];
    }),
    ...shared.flatMap(({ short, sentence, samples: sharing }) => [
      '',
      wrapped(printable(`${short} (${sharing.length} samples): ${sentence}`), width, '    ', '  '),
    ]),
  ];
}

/** Labels cut to a width; those that then read alike with their vials before them. */
function shortLabels(samples: readonly ResultSample[], most: number): readonly string[] {
  const cut = samples.map(({ label }) => shortName(label, most));
  return cut.map((label, at) => {
    if (cut.filter((other) => other === label).length === 1) return label;
    const { regions, label: whole } = samples[at]!;
    return shortName(`${regions.join(' ')} ${whole}`, most);
  });
}

function trustLines(result: Result, width: number): readonly string[] {
  const doubtful = [
    ...result.checks.filter(({ status }) => status === 'fail'),
    ...result.checks.filter(({ status }) => status === 'warn'),
  ];
  const passed = result.checks.filter(({ status }) => status === 'pass').length;
  const named = doubtful
    .slice(0, checksNamed)
    .map(({ status, message }) => wrapped(printable(`${status}: ${message}`), width, '    ', '  '));
  const more = doubtful.length - named.length;
  return [
    `Trust: ${trustOf(result)} (${passed} of ${result.checks.length} checks passed)`,
    ...named,
    ...(more > 0 ? [`  and ${more} more in the report`] : []),
  ];
}
