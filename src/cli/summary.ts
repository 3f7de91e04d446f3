import type { Result } from '../model/result.ts';
import { formatDuration } from '../report/duration.ts';
import { samplesInOrder, trustOf } from '../report/words.ts';
import { printable, wrapped } from './printable.ts';

const width = 80;
const outcomeWidth = 'undecided'.length;
/** Checks named in the summary; the report has them all. */
const checksNamed = 4;

/** What an analysis found, for a terminal of 80 columns: a paragraph a sample, trust, and where the report is. */
export function summaryOf(result: Result, report: string): string {
  const { run } = result;
  const when = run.read_at_declared ? 'as declared' : 'the end of the run: no time was declared';
  const glance = run.glance ? ', at a glance' : '';
  const title = `${run.name}: ${run.reaction}, read at ${formatDuration(run.read_at_s)} (${when})${glance}`;
  const samples = samplesInOrder(result).map(({ outcome, label, as_expected, reason }) => {
    const unexpected = as_expected === false ? ' (not as expected)' : '';
    const indent = ' '.repeat(outcomeWidth + 4);
    return `  ${wrapped(`${outcome.padEnd(outcomeWidth, '\u00a0')}\u00a0 ${label}${unexpected}. ${reason}`, width - 2, indent)}`;
  });
  const lines = [
    wrapped(title, width, '  '),
    '',
    ...(samples.length === 0 ? ['  no samples in this run'] : samples),
    '',
    ...trustLines(result),
    `Report: ${report}`,
  ];
  return `${printable(lines.join('\n')).replaceAll('\u00a0', ' ')}\n`;
}

function trustLines(result: Result): readonly string[] {
  const doubtful = [
    ...result.checks.filter(({ status }) => status === 'fail'),
    ...result.checks.filter(({ status }) => status === 'warn'),
  ];
  const passed = result.checks.filter(({ status }) => status === 'pass').length;
  const named = doubtful
    .slice(0, checksNamed)
    .map(({ status, message }) => `  ${wrapped(`${status}: ${message}`, width - 2, '    ')}`);
  const more = doubtful.length - named.length;
  return [
    `Trust: ${trustOf(result)} (${passed} of ${result.checks.length} checks passed)`,
    ...named,
    ...(more > 0 ? [`  and ${more} more in the report`] : []),
  ];
}
