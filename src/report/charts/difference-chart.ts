import type { Result, ResultSample } from '../../model/result.ts';
import { formatDuration } from '../duration.ts';
import { formatWithError } from '../round.ts';
import { outcomeCount, samplesInOrder } from '../words.ts';
import type { ChartRun } from '../chart-data.ts';
import { namesOf } from './aligned-vials.ts';
import { runNumbers } from './legend.ts';
import { intervalChart, plotRange, type IntervalRow, type ValueAxis } from './interval-rows.ts';
import { outcomeMark } from './marks.ts';
import type { Drawing } from './svg.ts';
import type { ChartTheme } from './theme.ts';
import { differenceAxis } from './value-axes.ts';

/** One sample's difference to the negative references with its 95 % interval and one-sided bound. */
export function differenceRow(sample: ResultSample, theme: ChartTheme): IntervalRow {
  const difference = sample.extent_difference;
  return {
    name: sample.regions.join(' '),
    label: sample.label,
    value: difference?.value ?? null,
    ends: difference?.ci95 ?? [null, null],
    bound: sample.bound?.value ?? null,
    said: difference === null ? 'not estimable' : `${formatWithError(difference)}  ${sample.outcome}`,
    mark: (x, y) => outcomeMark(sample.outcome, x, y, theme),
  };
}

/** Axis that holds every sample of the runs, their bounds and the margin. */
export function differenceAxisOf(results: readonly Result[], range: readonly [number, number]): ValueAxis {
  const values = results.flatMap(({ samples }) =>
    samples.flatMap((sample) => [
      sample.extent_difference?.value ?? 0,
      ...(sample.extent_difference?.ci95 ?? []),
      sample.bound?.value ?? 0,
    ]),
  );
  const margin = results[0]?.run.margin ?? 0.05;
  return differenceAxis(
    values.filter((value) => value !== null),
    margin,
    range,
  );
}

/** Differences of all samples to the negative references of their own run at its reading time. */
export function differenceChart(runs: readonly ChartRun[], width: number, theme: ChartTheme): Drawing {
  const layout = { width, labelWidth: Math.min(230, width * 0.32), saidWidth: 170 };
  const range = plotRange(layout);
  const results = runs.map(({ result }) => result);
  const rows = results.flatMap((result, runNumber) =>
    samplesInOrder(result).map((sample) => {
      const row = differenceRow(sample, theme);
      return runs.length === 1 ? row : { ...row, name: `${runNumber + 1} ${row.name}` };
    }),
  );
  const times = [...new Set(results.map(({ run }) => formatDuration(run.read_at_s)))];
  return intervalChart(
    rows,
    differenceAxisOf(results, range),
    layout,
    {
      title: `Extent difference to the negative references at ${times.join(', ')}`,
      said: 'difference ± standard error',
      note: 'Thin line: 95 % interval. Heavy stroke: the one-sided bound that decides. Disc reacted, diamond undecided, square resisted.',
      description: `Differences of the samples of ${namesOf(runs)} to the negative references: ${results.map(outcomeCount).join('; ')}.`,
    },
    theme,
    runNumbers(runs, theme),
  );
}
