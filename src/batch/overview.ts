import { mean } from '../numeric/mean.ts';
import type { Overview, OverviewRow, ReferenceChart } from '../model/overview.ts';
import type { Result } from '../model/result.ts';
import { lotsOverRuns } from './lots-over-runs.ts';
import { referenceCharts } from './reference-charts.ts';

/** One finished run. */
export interface FinishedRun {
  readonly name: string;
  readonly result: Result;
  readonly trust: string;
  readonly controlsFailed: boolean;
  /** How often it was judged before with other settings. */
  readonly judgedBefore: number;
}

/** Joins finished and failed runs, in order of their names (numbers in them by value). */
export function makeOverview(
  finished: readonly FinishedRun[],
  failed: readonly { readonly name: string; readonly message: string }[],
  before: Overview | null,
): Overview {
  const inOrder = [...finished].sort((first, second) => byName(first.name, second.name));
  const references = referenceCharts(inOrder);
  const rows = [
    ...inOrder.map((run) => rowOf(run, references, before)),
    ...failed.map(({ name, message }) => failedRow(name, message)),
  ].sort((first, second) => byName(first.name, second.name));
  return { schema: 'vialapse/overview@1', rows, references, lots: lotsOverRuns(inOrder) };
}

const collator = new Intl.Collator('en', { numeric: true });
const byName = (first: string, second: string): number => collator.compare(first, second);

function rowOf(run: FinishedRun, references: readonly ReferenceChart[], before: Overview | null): OverviewRow {
  const { result } = run;
  const row = {
    name: run.name,
    report: `${encodeURIComponent(run.name)}/report.html`,
    trust: run.trust,
    not_passed: notPassed(result),
    controls: run.controlsFailed ? ('failed' as const) : ('passed' as const),
    outcomes: outcomesOf(result),
    warnings: references.flatMap((chart) =>
      chart.points
        .filter((point) => point.run === run.name && point.outside.length > 0)
        .map(
          (point) =>
            `${chart.label}: rate outside its limits over the runs (${point.outside.map((which) => limitWords[which]).join(', ')})`,
        ),
    ),
    judged_before: run.judgedBefore,
    negatives: negativesOf(result),
    // The second input is the rig file (src/cli/run-inputs.ts lists run, rig, reaction first).
    rig_sha256: result.made.inputs[1]?.sha256 ?? null,
    reaction: result.run.reaction,
    failure: null,
  };
  return { ...row, changed: changesOf(row, before) };
}

const limitWords = { individuals: 'as a single rate', ewma: 'by the weighted mean' } as const;

function notPassed({ checks }: Result): readonly string[] {
  const codes = (wanted: string): readonly string[] =>
    checks.flatMap(({ code, status }) => (status === wanted ? [code] : []));
  return [...new Set([...codes('fail'), ...codes('warn')])];
}

/** Outcomes of an analysis, or the answers of a match. */
function outcomesOf({ samples, match }: Result): OverviewRow['outcomes'] {
  if (match === undefined) {
    // what changed since the last batch is told by label: samples of one label bear their vials
    const shared = (label: string): boolean => samples.filter((other) => other.label === label).length > 1;
    return samples.map(({ label, regions, outcome, as_expected }) => ({
      label: shared(label) ? `${label} (${regions.join(', ')})` : label,
      outcome,
      as_expected,
    }));
  }
  return match.samples.map(({ name, answer, agrees_with: agreesWith }) => ({
    label: name,
    outcome: agreesWith.length === 0 ? answer : `agrees in colour with ${agreesWith.join(', ')}`,
    as_expected: null,
  }));
}

function failedRow(name: string, message: string): OverviewRow {
  return {
    ...{ name, report: null, trust: null, controls: null, outcomes: [], changed: [], warnings: [], judged_before: 0 },
    ...{ negatives: null, rig_sha256: null, reaction: null, failure: message },
  };
}

function changesOf(row: Omit<OverviewRow, 'changed'>, before: Overview | null): readonly string[] {
  if (before === null) return [];
  const old = before.rows.find(({ name }) => name === row.name);
  if (old === undefined) return ['new'];
  if (old.failure !== null) return ['failed before'];
  const changes: string[] = [];
  if (old.trust !== row.trust) changes.push(`trust: ${old.trust} before`);
  if (old.controls !== row.controls) changes.push(`controls ${old.controls} before`);
  for (const { label, outcome } of row.outcomes) {
    const was = old.outcomes.find((one) => one.label === label);
    if (was === undefined) changes.push(`${label}: new`);
    else if (was.outcome !== outcome) changes.push(`${label}: ${was.outcome} before`);
  }
  for (const { label } of old.outcomes) {
    if (row.outcomes.every((one) => one.label !== label)) changes.push(`${label}: gone`);
  }
  return changes;
}

function negativesOf(result: Result): OverviewRow['negatives'] {
  const values = result.vials.flatMap(({ role, extent }) =>
    role === 'negative' && extent.at_read !== null ? [extent.at_read.value] : [],
  );
  if (values.length < 2) return null;
  const centre = mean(values);
  return { sum_of_squares: values.reduce((sum, value) => sum + (value - centre) ** 2, 0), df: values.length - 1 };
}
