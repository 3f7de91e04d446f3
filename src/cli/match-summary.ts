import type { Result } from '../model/result.ts';
import { answerLine } from '../report/html/match-page.ts';
import { trustOf } from '../report/words.ts';
import { printable, shortName, wrapped } from './printable.ts';

/** Columns of a name in a sentence; the report has it whole. */
const nameWidth = 30;

/** What a match found, for a terminal of so many columns: a paragraph a sample, trust, what it does not claim, and where the report is. */
export function matchSummary(result: Result, report: string, width = 80): string {
  const match = result.match!;
  const short = (name: string): string => shortName(name, nameWidth);
  const samples = match.samples.map((sample) => {
    const answer = answerLine({ ...sample, agrees_with: sample.agrees_with.map(short) });
    return wrapped(printable(`${short(sample.name)}: ${answer}. ${sample.reason}`), width, '    ', '  ');
  });
  const doubtful = result.checks.filter(({ status }) => status !== 'pass');
  const lines = [
    wrapped(printable(`${result.run.name}: ${result.run.reaction}, colours against known references`), width, '  '),
    '',
    ...(samples.length === 0 ? ['  no samples in this run'] : samples),
    '',
    `Trust: ${trustOf(result)} (${result.checks.length - doubtful.length} of ${result.checks.length} checks passed)`,
    ...doubtful.map(({ status, message }) => wrapped(printable(`${status}: ${message}`), width, '    ', '  ')),
    wrapped(match.claim, width, '  '),
    `Report: ${printable(report)}`,
  ];
  return `${lines.join('\n')}\n`;
}
