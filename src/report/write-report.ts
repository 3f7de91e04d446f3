import type { Analysis } from '../model/analysis.ts';
import { curvesChart } from './charts/curves-chart.ts';
import { differenceChart } from './charts/difference-chart.ts';
import { rateChart } from './charts/rate-chart.ts';
import { svgFile } from './charts/svg.ts';
import { lightTheme } from './charts/theme.ts';
import { curvesCsv } from './curves-csv.ts';
import { dataPackage } from './data-package.ts';
import { eventsCsv } from './events-csv.ts';
import { reportPage } from './html/page.ts';
import { ratesCsv } from './rates-csv.ts';
import { runOfAnalysis } from './run-of-analysis.ts';
import { trajectoryCsv } from './trajectory-csv.ts';
import { trajectoryParquet } from './trajectory-parquet.ts';

/** One file of a report folder: path relative to the folder, with `/`. */
export interface ReportFile {
  readonly path: string;
  readonly content: string | Uint8Array;
}

export interface ReportOptions {
  /** The trajectory as a Parquet file too. */
  readonly parquet?: boolean;
}

/**
 * All files of a report. The same analysis gives the same bytes; only `made.at` in result.json differs between two runs
 * on the same input, and no absolute path is in any file.
 */
export function writeReport(analysis: Analysis, options: ReportOptions = {}): readonly ReportFile[] {
  const { result } = analysis;
  const { events } = analysis.run;
  const parquet = options.parquet ?? false;
  const run = runOfAnalysis(analysis);
  return [
    { path: 'result.json', content: `${JSON.stringify(result, null, 2)}\n` },
    { path: 'trajectory.csv', content: trajectoryCsv(analysis) },
    ...(parquet ? [{ path: 'trajectory.parquet', content: trajectoryParquet(analysis) }] : []),
    { path: 'rates.csv', content: ratesCsv(result) },
    { path: 'curves.csv', content: curvesCsv(analysis) },
    ...(events.length > 0 ? [{ path: 'events.csv', content: eventsCsv(events) }] : []),
    { path: 'datapackage.json', content: dataPackage(result, { events: events.length > 0, parquet }) },
    { path: 'report.html', content: reportPage(analysis) },
    { path: 'charts/curves.svg', content: svgFile(curvesChart([run], 1184, lightTheme), lightTheme) },
    { path: 'charts/rates.svg', content: svgFile(rateChart([run], 900, lightTheme), lightTheme) },
    { path: 'charts/differences.svg', content: svgFile(differenceChart([run], 900, lightTheme), lightTheme) },
  ];
}
