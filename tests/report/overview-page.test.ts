import { expect, it } from 'vitest';
import { overviewPage } from '../../src/report/overview-page.ts';
import { exampleOverview as overview } from '../support/example-overview.ts';

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

it('says in words whether a rate wanders over the runs, and does not where it may not', () => {
  expect(text).toMatch(/Falls by 2\.1 % a run \(95 %: 0\.91 to 3\.4 %; .*an ageing reagent/);
  const [chart] = overview.references;
  const unsure = { ...overview, references: [{ ...chart!, trend: { per_run: 0.01, ci95: [-0.005, 0.02] as const } }] };
  expect(overviewPage(unsure)).toContain('No trend over the runs (95 %: -0.50 to +2.0 % a run)');
});

it('draws rates without an axis below zero, names the runs and says which is outside', () => {
  const drawn = /<svg viewBox="0 0 590[^>]*>.*?<\/svg>/.exec(page)?.[0] ?? page;
  const words = [...page.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((found) => found[1]!);
  expect(words).toEqual(expect.arrayContaining(['2.2', '0.83', '0', 'week 1', 'week 6']));
  expect(words.some((word) => word.startsWith('−') || word.startsWith('-'))).toBe(false);
  expect(drawn).toContain('outside its limits: week 5');
});
