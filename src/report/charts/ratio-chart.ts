import type { Result, ResultRatio, ResultSample } from '../../model/result.ts';
import { clipLabel } from '../clip-label.ts';
import { isolate } from '../isolate.ts';
import { formatInterval, formatLike, formatSignificant } from '../round.ts';
import { samplesInOrder } from '../words.ts';
import type { ChartRun } from '../chart-data.ts';
import { runNumbers } from './legend.ts';
import { intervalChart, labelWidthOf, plotRange, saidWidthOf, type IntervalRow } from './interval-rows.ts';
import { outcomeMark } from './marks.ts';
import { coordinate, element, type Drawing } from './svg.ts';
import type { ChartTheme } from './theme.ts';
import { logAxis } from './value-axes.ts';

/** Which ratio is drawn; both are sample divided by reference. */
export type RatioKind = 'rate_ratio' | 'half_time_ratio';

const titles: Readonly<Record<RatioKind, string>> = {
  rate_ratio: 'Rate, sample ÷ reference',
  half_time_ratio: 'Half-time, sample ÷ reference',
};

/** How rows are named: the vials with both labels, with the reference's only, or not at all where the names stand beside. */
export type RatioNames = 'both' | 'reference' | 'none';

/** Ratios of every sample to every reference it was compared with, on a logarithmic axis. */
export function ratioChart(
  runs: readonly ChartRun[],
  kind: RatioKind,
  width: number,
  theme: ChartTheme,
  names: RatioNames = 'both',
): Drawing {
  const named = names !== 'none';
  const rows = runs.flatMap(({ result }, runNumber) =>
    samplesInOrder(result).flatMap((sample) =>
      sample.against.map((against): IntervalRow => {
        const ratio = against[kind];
        return {
          name: named
            ? `${runs.length > 1 ? `${runNumber + 1} ` : ''}${sample.regions.join(' ')} ÷ ${against.reference}`
            : '',
          label: named ? labelOf(result, sample, against.reference, names) : '',
          value: ratio === null || ratio.value <= 0 ? null : ratio.value,
          ends: ratio === null ? [null, null] : openEnds(ratio),
          bound: null,
          said: ratioWords(ratio),
          mark: (x, y) => outcomeMark(sample.outcome, x, y, theme, 4),
        };
      }),
    ),
  );
  const layout = {
    width,
    labelWidth: named ? labelWidthOf(rows, names === 'both' ? 0.45 * width : Math.min(230, 0.45 * width)) : 0,
    saidWidth: saidWidthOf(rows),
  };
  return intervalChart(
    rows,
    logAxis(
      rows.flatMap((row) => (row.value === null ? [] : [row.value])),
      rows.map((row) => row.ends),
      plotRange(layout),
      'ratio (logarithmic)',
      [{ at: 1, label: 'equal', dashed: true }],
    ),
    layout,
    {
      title: named ? titles[kind] : titles[kind].split(',')[0]!,
      said: '95 % interval',
      note: named ? 'Arrow: unbounded, or beyond the axis, on that side.' : '',
      description: `${titles[kind]} with 95 % intervals, for ${rows.length} pairs.`,
    },
    theme,
    runNumbers(runs, theme),
  );
}

/** Rates and half-times side by side, the pairs named once. */
export function ratiosChart(run: ChartRun, width: number, theme: ChartTheme): Drawing {
  const second = 0.41 * width;
  const rates = ratioChart([run], 'rate_ratio', width - second - 20, theme, 'reference');
  const halfTimes = ratioChart([run], 'half_time_ratio', second, theme, 'none');
  return {
    width,
    height: Math.max(rates.height, halfTimes.height),
    description: `${rates.description} ${halfTimes.description}`,
    body: rates.body + element('g', { transform: `translate(${coordinate(width - second)} 0)` }, halfTimes.body),
  };
}

/** References are named by region; their label tells what is in them. A sample's label leaves the reference its half of the room. */
function labelOf(result: Result, sample: ResultSample, reference: string, names: RatioNames): string {
  const ofReference = result.vials.find(({ region }) => region === reference)?.label ?? '';
  return names === 'both' ? `${isolate(clipLabel(sample.label, 20))} ÷ ${isolate(ofReference)}` : ofReference;
}

/** A lower end at or below zero bounds nothing on a ratio. */
function openEnds({ ci95: [lower, upper] }: ResultRatio): readonly [number | null, number | null] {
  return [lower !== null && lower > 0 ? lower : null, upper];
}

export function ratioWords(ratio: ResultRatio | null): string {
  if (ratio === null) return 'not estimable';
  if (ratio.value === 0) {
    return ratio.ci95[1] === null ? 'no change fitted' : `less than ${formatSignificant(ratio.ci95[1], 2)}`;
  }
  if (ratio.ci95[1] !== null && ratio.ci95[1] <= 0) return 'not above 0';
  const [lower, upper] = openEnds(ratio);
  const width = lower === null || upper === null ? null : upper - lower;
  const format = (value: number): string =>
    width === null || width <= 0 || value >= 1000 ? formatSignificant(value, 2) : formatLike(value, width / 4);
  // a lower end that is not zero is not said to be
  return formatInterval([lower, upper], (value) =>
    Number(format(value)) === 0 ? formatSignificant(value, 1) : format(value),
  );
}
