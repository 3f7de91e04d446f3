import type { ResultVial } from '../../model/result.ts';
import type { ChartRun } from '../chart-data.ts';
import { alignedVials, namesOf, type PanelVial } from './aligned-vials.ts';
import { formatSignificant, formatWithError, unknown } from '../round.ts';
import { intervalChart, labelWidthOf, plotRange, saidWidthOf, type IntervalRow } from './interval-rows.ts';
import { outcomeMark, runMark } from './marks.ts';
import type { Drawing } from './svg.ts';
import type { ChartTheme } from './theme.ts';
import { runNumbers } from './legend.ts';
import { logAxis } from './value-axes.ts';

const perHour = 3600;

/** Initial rates of all vials of one run or several, extent per hour, on a logarithmic axis. */
export function rateChart(runs: readonly ChartRun[], width: number, theme: ChartTheme): Drawing {
  const rows = alignedVials(runs).map((member) => rateRow(member, runs.length > 1, theme));
  const layout = { width, labelWidth: labelWidthOf(rows, Math.min(230, width * 0.45)), saidWidth: saidWidthOf(rows) };
  const axis = logAxis(
    rows.flatMap((row) => (row.value === null ? [] : [row.value])),
    rows.map((row) => row.ends),
    plotRange(layout),
    'initial rate, extent per hour (logarithmic)',
    [],
  );
  return intervalChart(
    rows,
    axis,
    layout,
    {
      title: 'Initial rate of every vial',
      said: '1/h, ± standard error',
      note: 'Line: 95 % interval. Arrow: beyond the axis, on the left to zero.',
      description: `Initial rates of the vials of ${namesOf(runs)} with 95 % intervals.`,
    },
    theme,
    runNumbers(runs, theme),
  );
}

function rateRow({ vial, runNumber }: PanelVial, several: boolean, theme: ChartTheme): IntervalRow {
  const { result, sample } = vial;
  const rate = result.fit.initial_rate;
  const positive = (value: number | null): number | null => (value === null || value <= 0 ? null : value * perHour);
  return {
    name: several ? `${runNumber + 1} ${result.region}` : result.region,
    label: result.label,
    value: rate === null ? null : positive(rate.value),
    ends: rate === null ? [null, null] : [positive(rate.ci95[0]), positive(rate.ci95[1])],
    bound: null,
    said: rateWords(result),
    mark: (x, y) => (sample === null ? runMark(0, x, y, theme) : outcomeMark(sample.outcome, x, y, theme)),
  };
}

function rateWords(vial: ResultVial): string {
  const rate = vial.fit.initial_rate;
  if (rate === null) return unknown;
  if (rate.value === 0) {
    const most = rate.ci95[1];
    return most === null ? 'no change fitted' : `less than ${formatSignificant(most * perHour, 2)}`;
  }
  return formatWithError({ value: rate.value * perHour, se: rate.se === null ? null : rate.se * perHour });
}
