import { expect, it } from 'vitest';
import { columnsOf, cutToColumns, printable, terminalWidth, wrapped } from '../../src/cli/printable.ts';
import { matchSummary } from '../../src/cli/match-summary.ts';
import { summaryOf } from '../../src/cli/summary.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';
import { exampleMatch } from '../support/example-match.ts';
import { hostileLabels } from '../support/hostile-labels.ts';

const { result } = await exampleAnalysis({ frames: 9 });
const failed =
  "The run's own controls failed: A2, which must react, had not turned by the reading time, so a sample that stays still proves nothing.";

it('keeps to 80 columns whatever the labels, and says a shared reason once', () => {
  const labels = [
    'ラベルがとても長い試料の瓶、三番目の棚',
    'W'.repeat(200),
    'lot 09 🧪🧪🧪🧪🧪🧪🧪🧪🧪🧪🧪🧪',
    'lot 10',
  ];
  const samples = result.samples.map((sample, index) => ({
    ...sample,
    ...{ label: labels[index]!, outcome: 'undecided' as const, as_expected: null, reason: failed },
  }));
  const summary = summaryOf({ ...result, samples }, 'reports/lots/report.html');
  const lines = summary.split('\n');
  expect(lines.filter((line) => columnsOf(line) > 80)).toEqual([]);
  expect(lines.filter((line) => /^ {2}undecided /.test(line))).toHaveLength(4);
  expect(summary.match(/controls failed/g)).toHaveLength(6);
  expect(summary.replace(/\s+/g, ' ')).toContain(`controls failed (4 samples): ${failed}`);
});

const overlong = (text: string, width: number): readonly string[] =>
  text.split('\n').filter((line) => columnsOf(line) > width);

it.each([60, 80, 120])(
  'keeps inside a terminal of %i columns, and 80, whatever the labels and outcomes',
  async (columns) => {
    const width = terminalWidth({ columns });
    expect(width).toBe(Math.min(80, columns));
    const samples = hostileLabels.flatMap((label, at) =>
      (['reacted', 'undecided', 'resisted'] as const).map((outcome) => ({
        ...result.samples[at % result.samples.length]!,
        ...{ label, outcome, as_expected: outcome === 'undecided' ? null : false, regions: [`A${at}`, `B${at}`] },
        reason: `the replicates of vial A${at} differ from each other by more than still vials do`,
      })),
    );
    const checks = result.checks.map((check) => ({ ...check, status: 'warn' as const }));
    const run = { ...result.run, name: 'long name '.repeat(10).trim() };
    const summary = summaryOf({ ...result, run, samples, checks }, 'report.html', width);
    expect(overlong(summary, width)).toEqual([]);
    expect(summary.match(/^ {2}(?:reacted|undecided|resisted) /gm)).toHaveLength(samples.length);
    const match = matchSummary({ ...(await exampleMatch(hostileLabels)), run }, 'report.html', width);
    expect(overlong(match, width)).toEqual([]);
    expect(match).toContain('WWWWW…');
  },
);

it('tells samples apart whose labels read alike once cut', () => {
  const samples = ['recovered lot 07, first half', 'recovered lot 07, first half of two', 'lot 08'].map(
    (label, at) => ({
      ...result.samples[0]!,
      ...{ label, outcome: 'reacted' as const, regions: [`A${at + 1}`] },
    }),
  );
  const summary = summaryOf({ ...result, samples }, 'report.html');
  expect(summary).toMatch(/reacted {2}A1 recovered/);
  expect(summary).toMatch(/reacted {2}A2 recovered/);
  expect(summary).toMatch(/reacted {2}lot 08/);
});

it('shows joiners inside letters and emoji, and any other control as its code', () => {
  expect(printable('👩\u200d🔬 lot \u200d\u001b[31m\u202e')).toBe('👩\u200d🔬 lot \\u{200d}\\u{001b}[31m\\u{202e}');
});

// Terminals give East Asian wide characters and emoji two columns (Unicode Standard Annex 11).
it('counts and cuts columns by whole characters', () => {
  expect(['abc', '日本', '🧪', 'e\u0301'].map(columnsOf)).toEqual([3, 4, 2, 1]);
  expect(cutToColumns('日本語', 5)).toBe('日本…');
  expect(cutToColumns('日本語', 6)).toBe('日本語');
});

it('breaks lines at the width, behind the lead and the indent', () => {
  expect(wrapped('aaa bbb ccc', 7, '  ')).toBe('aaa bbb\n  ccc');
  expect(wrapped('aaa bbb ccc', 7, '  ', ' ')).toBe(' aaa\n  bbb\n  ccc');
});
