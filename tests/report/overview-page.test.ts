import { expect, it } from 'vitest';
import type { Overview, OverviewRow, ReferenceChart } from '../../src/model/overview.ts';
import { overviewPage } from '../../src/report/overview-page.ts';

const row = (name: string, outcomes: OverviewRow['outcomes'], not_passed: readonly string[] = []): OverviewRow => ({
  ...{ name, report: `${name}/report.html`, trust: not_passed.length === 0 ? 'passed' : 'read with care', not_passed },
  ...{ controls: 'passed', outcomes, changed: [], warnings: [], judged_before: 0, negatives: null, rig_sha256: null },
  ...{ reaction: 'acid-dichromate', failure: null },
});
const came = (label: string, outcome: string, as_expected: boolean | null): OverviewRow['outcomes'][number] => ({
  ...{ label, outcome, as_expected },
});
const rates = [1, 1.1, 0.9, 1, 0.01, 1].map((rate) => rate / 3600);
const chart: ReferenceChart = {
  ...{ label: '1-butanol', role: 'positive', reaction: 'acid-dichromate', reason: null },
  points: rates.map((rate, at) => ({ run: `week ${at + 1}`, rate, ewma: rate, outside: at === 4 ? ['ewma'] : [] })),
  limits: { centre: 0.83 / 3600, lower: -0.5 / 3600, upper: 2.2 / 3600, ewma_lower: null, ewma_upper: null },
};
const overview: Overview = {
  schema: 'vialapse/overview@1',
  rows: [
    row('week 1', [
      ...[came('lot 07', 'resisted', true), came('lot 08', 'resisted', true)],
      ...[came('lot 09', 'undecided', null), came('lot 10 <b>', 'reacted', false)],
    ]),
    row('week 2', [came('lot 11', 'reacted', false)], ['positives-turned', 'light']),
  ],
  references: [chart],
  lots: ['lot 07', 'lot 08'].map((lot) => ({
    ...{ lot, runs: ['week 1', 'week 2'], estimate: null, reason: 'the references of week 2 failed or disagree' },
  })),
};
const page = overviewPage(overview).replace(/\s+/g, ' ');
const text = page
  .replace(/<(style|svg)\b.*?<\/\1>/g, ' ')
  .replace(/<[^>]+>/g, ' ')
  .replace(/\s+/g, ' ');

it('answers first, and puts what is not as expected before the rest of a run', () => {
  expect(text).toContain('2 samples not as expected, in 2 runs; 1 undecided');
  expect(text).toContain('Runs: 1 passed, 1 read with care');
  expect(text).toContain(
    'reacted lot 10 &lt;b&gt; not as expected undecided lot 09 resisted as expected: lot 07 , lot 08',
  );
  expect(text).toContain('read with care positives not turned, light');
});

it('says once why lots are not joined, and has no empty column', () => {
  expect(text.match(/references of week 2 failed or disagree/g)).toHaveLength(1);
  expect(text).toContain('failed or disagree: lot 07 , lot 08 .');
  expect(text).not.toContain('since the last batch');
  const changed = { ...overview, rows: [{ ...overview.rows[0]!, changed: ['lot 07: undecided before'] }] };
  expect(overviewPage(changed)).toContain('since the last batch');
});

it('draws rates without an axis below zero, names the runs and says which is outside', () => {
  const drawn = /<svg viewBox="0 0 590[^>]*>.*?<\/svg>/.exec(page)?.[0] ?? page;
  const words = [...page.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((found) => found[1]!);
  expect(words).toEqual(expect.arrayContaining(['2.2', '0.83', '0', 'week 1', 'week 6']));
  expect(words.some((word) => word.startsWith('−') || word.startsWith('-'))).toBe(false);
  expect(drawn).toContain('outside its limits: week 5');
});
