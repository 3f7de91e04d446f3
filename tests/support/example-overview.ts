import type { Overview, OverviewRow, ReferenceChart } from '../../src/model/overview.ts';

type Came = OverviewRow['outcomes'][number];

export const overviewRow = (
  name: string,
  outcomes: readonly Came[],
  not_passed: readonly string[] = [],
): OverviewRow => ({
  ...{ name, report: `${name}/report.html`, trust: not_passed.length === 0 ? 'passed' : 'read with care', not_passed },
  ...{ controls: 'passed', outcomes, changed: [], warnings: [], judged_before: 0, negatives: null, rig_sha256: null },
  ...{ reaction: 'acid-dichromate', failure: null },
});
export const came = (label: string, outcome: string, as_expected: boolean | null): Came => ({
  ...{ label, outcome, as_expected },
});

const rates = [1, 1.1, 0.9, 1, 0.01, 1].map((rate) => rate / 3600);
const chart: ReferenceChart = {
  ...{ label: '1-butanol', role: 'positive', reaction: 'acid-dichromate', reason: null },
  points: rates.map((rate, at) => ({ run: `week ${at + 1}`, rate, ewma: rate, outside: at === 4 ? ['ewma'] : [] })),
  limits: { centre: 0.83 / 3600, lower: -0.5 / 3600, upper: 2.2 / 3600, ewma_lower: null, ewma_upper: null },
  trend: { per_run: -0.0212, ci95: [-0.034, -0.0091] },
};

/** Two invented weeks: outcomes of every kind, lots that may not be joined, a reference outside its limits. */
export const exampleOverview: Overview = {
  schema: 'vialapse/overview@1',
  rows: [
    overviewRow('week 1', [
      ...[came('lot 07', 'resisted', true), came('lot 08', 'resisted', true)],
      ...[came('lot 09', 'undecided', null), came('lot 10 <b>', 'reacted', false)],
    ]),
    overviewRow('week 2', [came('lot 11', 'reacted', false)], ['positives-turned', 'light']),
  ],
  references: [chart],
  lots: ['lot 07', 'lot 08'].map((lot) => ({
    ...{ lot, runs: ['week 1', 'week 2'], estimate: null, reason: 'the references of week 2 failed or disagree' },
  })),
};

/** The same with everything a page can hold: hostile labels, a failed run, a joined lot, a reference without limits. */
export function fullOverview(labels: readonly string[]): Overview {
  const outcomes = labels.flatMap((label, at) => [
    came(label, at % 2 === 0 ? 'reacted' : 'resisted', at % 2 === 1),
    came(label, 'undecided', null),
  ]);
  const failed: OverviewRow = {
    ...overviewRow('week 4', []),
    ...{ report: null, trust: null, controls: null, failure: `${labels[0]}\n  key: vials` },
  };
  const named: OverviewRow = {
    ...overviewRow('week 3', outcomes),
    ...{ changed: [`${labels[0]}: undecided before`], warnings: [`${labels[1]}: rate outside its limits`] },
  };
  const estimate = { value: 0.021, ci95: [0.002, 0.04], between_run_variance: 1e-5 } as const;
  return {
    ...exampleOverview,
    rows: [...exampleOverview.rows, named, failed],
    references: [
      ...labels.slice(0, 4).map((label) => ({ ...chart, label })),
      ...labels.map((label) => ({ ...chart, label, limits: null, reason: 'limits need 5 runs, so far there is 1' })),
    ],
    lots: [
      ...labels.map((lot) => ({ lot, runs: ['week 1', 'week 3'], estimate, reason: null })),
      ...exampleOverview.lots,
    ],
  };
}
