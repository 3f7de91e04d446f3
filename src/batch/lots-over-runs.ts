import type { LotOverRuns } from '../model/overview.ts';
import { studentTQuantile } from '../numeric/student-t.ts';
import type { FinishedRun } from './overview.ts';

/**
 * Extent differences of one lot against the same negative references, joined over runs: random effects, the
 * between-run variance by DerSimonian and Laird (1986), the interval by Hartung and Knapp (2001) with Student's t on
 * runs - 1 (formulas from memory). Refused where references differ, disagree, or a run's controls failed.
 */
export function lotsOverRuns(runs: readonly FinishedRun[]): readonly LotOverRuns[] {
  const lots = new Map<string, { run: FinishedRun; value: number | null; se: number | null }[]>();
  for (const run of runs) {
    for (const { group, label, extent_difference: difference } of run.result.samples) {
      const lot = group ?? label;
      const entry = { run, value: difference?.value ?? null, se: difference?.se ?? null };
      lots.set(lot, [...(lots.get(lot) ?? []), entry]);
    }
  }
  return [...lots]
    .filter(([, entries]) => new Set(entries.map(({ run }) => run.name)).size > 1)
    .map(([lot, entries]) => {
      const named = { lot, runs: entries.map(({ run }) => run.name) };
      const reason = whyNot(entries.map(({ run }) => run));
      if (reason !== null) return { ...named, estimate: null, reason };
      const known = entries.flatMap(({ value, se }) =>
        value === null || se === null || !(se > 0) ? [] : [{ value, se }],
      );
      if (known.length < 2) {
        return { ...named, estimate: null, reason: 'fewer than two runs give a difference with its error' };
      }
      return { ...named, estimate: randomEffects(known), reason: null };
    });
}

function whyNot(runs: readonly FinishedRun[]): string | null {
  const doubtful = runs.find(
    ({ controlsFailed, result }) =>
      controlsFailed || result.checks.some(({ code, status }) => code === 'references-agree' && status !== 'pass'),
  );
  if (doubtful !== undefined) return `the references of run “${doubtful.name}” failed or disagree`;
  const kinds = runs.map(({ result }) =>
    JSON.stringify([
      result.run.reaction,
      result.run.read_at_s,
      [...new Set(result.vials.filter(({ role }) => role === 'negative').map(({ label }) => label))].sort(),
    ]),
  );
  return new Set(kinds).size > 1 ? 'the runs differ in reaction, reading time or negative references' : null;
}

/** Exported for tests. */
export function randomEffects(
  effects: readonly { readonly value: number; readonly se: number }[],
): NonNullable<LotOverRuns['estimate']> {
  const count = effects.length;
  const fixed = effects.map(({ se }) => 1 / se ** 2);
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
  const meanBy = (weights: readonly number[]): number =>
    sum(weights.map((weight, at) => weight * effects[at]!.value)) / sum(weights);
  const centre = meanBy(fixed);
  const q = sum(fixed.map((weight, at) => weight * (effects[at]!.value - centre) ** 2));
  const scale = sum(fixed) - sum(fixed.map((weight) => weight ** 2)) / sum(fixed);
  const between = Math.max(0, (q - (count - 1)) / scale);
  const weights = effects.map(({ se }) => 1 / (se ** 2 + between));
  const value = meanBy(weights);
  const spread = sum(weights.map((weight, at) => weight * (effects[at]!.value - value) ** 2)) / (count - 1);
  // Not narrower than without the correction: two runs may agree by chance.
  const se = Math.sqrt(Math.max(1, spread) / sum(weights));
  const reach = studentTQuantile(0.975, count - 1) * se;
  return { value, ci95: [value - reach, value + reach], between_run_variance: between };
}
