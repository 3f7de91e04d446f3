import { curvesChart } from './charts/curves-chart.ts';
import { differenceChart } from './charts/difference-chart.ts';
import { rateChart } from './charts/rate-chart.ts';
import { ratioChart } from './charts/ratio-chart.ts';
import { svgFile } from './charts/svg.ts';
import { lightTheme, printTheme } from './charts/theme.ts';
import type { ChartRun } from './chart-data.ts';

export interface ComparisonOptions {
  readonly time: 'linear' | 'log';
  readonly widthMm: number;
  readonly theme: 'light' | 'print';
}

/** Drawing units in a millimetre (chosen: text of 13 units is then 7.5 pt, the size of figure text in journals). */
const unitsPerMm = 4.9;

/**
 * The comparison charts of one run or several as SVG: curves, initial rates, differences to the negative references and
 * rates relative to each positive one (in both, the references of all runs stand at one place: 0 and 1).
 */
export function comparisonCharts(
  runs: readonly ChartRun[],
  options: ComparisonOptions,
): readonly { readonly name: string; readonly svg: string }[] {
  const theme = options.theme === 'print' ? printTheme : lightTheme;
  const width = Math.max(420, options.widthMm * unitsPerMm);
  const samples = runs.some(({ result }) => result.samples.length > 0);
  const drawings = [
    { name: 'curves', drawing: curvesChart(runs, width, theme, options.time) },
    { name: 'rates', drawing: rateChart(runs, width, theme) },
    ...(samples
      ? [
          { name: 'differences', drawing: differenceChart(runs, width, theme) },
          { name: 'rate-ratios', drawing: ratioChart(runs, 'rate_ratio', width, theme) },
        ]
      : []),
  ];
  return drawings.map(({ name, drawing }) => ({ name, svg: svgFile(drawing, theme, options.widthMm) }));
}
