import { expect, it } from 'vitest';
import { isInShard, parseShard } from '../../src/batch/list-runs.ts';
import { randomEffects } from '../../src/batch/lots-over-runs.ts';
import { makeOverview, type FinishedRun } from '../../src/batch/overview.ts';
import { rigHistory } from '../../src/batch/rig-history.ts';
import { worstCode } from '../../src/batch/run-all.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

const exampleResult = (await exampleAnalysis()).result;

const run = (at: number, rate: number): FinishedRun => ({
  name: `run-${at}`,
  trust: 'passed',
  controlsFailed: false,
  judgedBefore: 0,
  result: {
    ...exampleResult,
    vials: exampleResult.vials.map((vial) =>
      vial.role === 'positive'
        ? { ...vial, fit: { ...vial.fit, initial_rate: { value: rate, se: null, ci95: [null, null] } } }
        : vial,
    ),
  },
});

it('warns in the run whose reference is outside its limits, and in no other', () => {
  const rates = [10, 10.2, 9.9, 10.1, 10, 9.8, 10.1, 14];
  const overview = makeOverview(
    rates.map((rate, at) => run(at, rate)),
    [],
    null,
  );
  const warned = overview.rows.filter(({ warnings }) => warnings.some((text) => text.includes('as a single rate')));
  expect(warned.map(({ name }) => name)).toEqual(['run-7']);
});

it('finds a reagent that ages by three percent a run, one bad night or not, and none in steady rates', () => {
  const trendOf = (rates: readonly number[]) =>
    makeOverview(
      rates.map((rate, at) => run(at, rate)),
      [],
      null,
    ).references[0]!.trend!;
  const noise = [0.05, -0.04, 0.02, -0.06, 0.03, 0.01, -0.02, 0.04];
  const ageing = trendOf(noise.map((error, at) => (at === 2 ? 4 : 10 - 0.3 * at + error)));
  expect(ageing.per_run).toBeCloseTo(-0.03 / 0.895, 2);
  expect(ageing.ci95[1]).toBeLessThan(0);
  const steady = trendOf(noise.map((error) => 10 + error));
  expect(steady.ci95[0]).toBeLessThan(0);
  expect(steady.ci95[1]).toBeGreaterThan(0);
});

it('tells two samples of one label apart, and no change where each is as before', () => {
  const first = exampleResult.samples[0]!;
  const twins = {
    ...run(0, 10),
    result: {
      ...exampleResult,
      samples: [
        { ...first, regions: ['A7'], outcome: 'reacted' as const },
        { ...first, regions: ['A8'], outcome: 'resisted' as const },
      ],
    },
  };
  const before = makeOverview([twins], [], null);
  expect(before.rows[0]!.outcomes.map(({ label, outcome }) => [label, outcome])).toEqual([
    [`${first.label} (A7)`, 'reacted'],
    [`${first.label} (A8)`, 'resisted'],
  ]);
  expect(makeOverview([twins], [], before).rows[0]!.changed).toEqual([]);
});

it('draws no limits from four runs', () => {
  const overview = makeOverview(
    [1, 2, 3, 4].map((at) => run(at, at)),
    [],
    null,
  );
  expect(overview.references[0]!.limits).toBeNull();
  expect(overview.references[0]!.reason).toContain('limits need 5 runs');
});

it('joins runs by random effects: equal errors give the plain mean and t interval', () => {
  // With equal standard errors the Hartung-Knapp interval is Student's on the plain mean: here mean 0.2, sd 0.1, n 3.
  const joined = randomEffects([0.1, 0.2, 0.3].map((value) => ({ value, se: 0.01 })));
  expect(joined.value).toBeCloseTo(0.2, 12);
  expect(joined.ci95[1] - 0.2).toBeCloseTo((4.302653 * 0.1) / Math.sqrt(3), 6);
  expect(joined.between_run_variance).toBeCloseTo(0.1 ** 2 - 0.01 ** 2, 12);
});

it('refuses to join a lot where a run had failed controls', () => {
  const runs = [run(1, 1), { ...run(2, 1), controlsFailed: true }];
  const { lots } = makeOverview(runs, [], null);
  expect(lots.length).toBeGreaterThan(0);
  expect(lots.every(({ estimate, reason }) => estimate === null && reason!.includes('run-2'))).toBe(true);
});

it('gives a history from six degrees of freedom on, the run itself left out', () => {
  const { rows, ...rest } = makeOverview(
    [1, 2, 3, 4].map((at) => run(at, 1)),
    [],
    null,
  );
  const overview = { ...rest, rows: rows.map((row) => ({ ...row, negatives: { sum_of_squares: 0.0002, df: 2 } })) };
  const of = (name: string) =>
    rigHistory(overview, { name, rigSha256: rows[0]!.rig_sha256!, reaction: rows[0]!.reaction! });
  expect(of('run-1')).toMatchObject({ df: 6, value: 0.01 });
  expect(
    rigHistory(
      { ...overview, rows: overview.rows.slice(0, 3) },
      { name: 'run-1', rigSha256: rows[0]!.rig_sha256!, reaction: rows[0]!.reaction! },
    ),
  ).toBeNull();
});

it('gives every name to exactly one part', () => {
  for (const name of ['lot-1', 'lot-2', 'a b', '_']) {
    expect([1, 2, 3].filter((part) => isInShard(name, { part, of: 3 }))).toHaveLength(1);
  }
  expect(() => parseShard('4/3')).toThrow('i/n');
  expect(worstCode([0, 3, 2])).toBe(2);
  expect(worstCode([3, 1, 2])).toBe(1);
});
