import { mean } from '../numeric/mean.ts';
import type { ReferenceChart } from '../model/overview.ts';
import { ewmaChart, individualsChart } from '../numeric/control-charts.ts';
import { theilSen } from '../numeric/theil-sen.ts';
import type { FinishedRun } from './overview.ts';

/** Runs below which limits say nothing: they would rest on one or two moving ranges. Chosen. */
const fewestRuns = 5;

/** A chart for every moving reference over the runs, runs in the order given (that of their names). */
export function referenceCharts(runs: readonly FinishedRun[]): readonly ReferenceChart[] {
  const series = new Map<
    string,
    { label: string; role: 'positive' | 'standard'; reaction: string; at: Map<string, number[]> }
  >();
  for (const { name, result } of runs) {
    for (const { label, role, fit } of result.vials) {
      if ((role !== 'positive' && role !== 'standard') || fit.initial_rate === null) continue;
      const key = JSON.stringify([result.run.reaction, role, label]);
      const found = series.get(key) ?? { label, role, reaction: result.run.reaction, at: new Map<string, number[]>() };
      found.at.set(name, [...(found.at.get(name) ?? []), fit.initial_rate.value]);
      series.set(key, found);
    }
  }
  return [...series.values()].map(({ at, ...named }) => {
    const rates = [...at].map(([run, values]) => ({ run, rate: mean(values) }));
    return { ...named, ...judged(rates) };
  });
}

function judged(
  rates: readonly { readonly run: string; readonly rate: number }[],
): Pick<ReferenceChart, 'points' | 'limits' | 'trend' | 'reason'> {
  const values = rates.map(({ rate }) => rate);
  const chart = rates.length < fewestRuns ? null : individualsChart(values);
  if (chart === null) {
    const reason = `limits need ${fewestRuns} runs, so far ${rates.length === 1 ? 'there is 1' : `there are ${rates.length}`}`;
    return { points: rates.map((rate) => ({ ...rate, ewma: null, outside: [] })), limits: null, trend: null, reason };
  }
  const sd = (chart.upper - chart.centre) / 3;
  const smooth = sd > 0 ? ewmaChart(values, { target: chart.centre, sd }) : null;
  return {
    points: rates.map((rate, at) => ({
      ...rate,
      ewma: smooth?.ewma[at] ?? null,
      outside: [
        ...(chart.outside.includes(at) ? (['individuals'] as const) : []),
        ...(smooth?.outside.includes(at) === true ? (['ewma'] as const) : []),
      ],
    })),
    limits: {
      ...{ centre: chart.centre, lower: chart.lower, upper: chart.upper },
      ...{ ewma_lower: smooth?.lower ?? null, ewma_upper: smooth?.upper ?? null },
    },
    trend: trendOf(values),
    reason: null,
  };
}

/** Median slope over the runs in their order (Theil and Sen): one bad night does not make a trend. `null` for a median rate of 0 or less. */
function trendOf(rates: readonly number[]): ReferenceChart['trend'] {
  const line = theilSen(
    rates.map((_, run) => run),
    rates,
  );
  if (line === null) return null;
  const { slope, intercept, interval } = line;
  // where the line passes the middle of the runs it has their median rate
  const typical = intercept + (slope * (rates.length - 1)) / 2;
  if (!(typical > 0)) return null;
  return { per_run: slope / typical, ci95: [interval[0] / typical, interval[1] / typical] };
}
