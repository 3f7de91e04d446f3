import { expect, it } from 'vitest';
import { columnsOf, cutToColumns, wrapped } from '../../src/cli/printable.ts';
import { summaryOf } from '../../src/cli/summary.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

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
