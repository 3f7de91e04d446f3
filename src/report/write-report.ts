import type { Analysis } from '../model/analysis.ts';
import { curvesChart } from './charts/curves-chart.ts';
import { differenceChart } from './charts/difference-chart.ts';
import { rateChart } from './charts/rate-chart.ts';
import { svgFile } from './charts/svg.ts';
import { lightTheme } from './charts/theme.ts';
import { dataPackage } from './data-package.ts';
import { reportPage } from './html/page.ts';
import { ratesCsv } from './rates-csv.ts';
import { runOfAnalysis } from './run-of-analysis.ts';
import { trajectoryCsv } from './trajectory-csv.ts';

/** One file of a report folder: path relative to the folder, with `/`. */
export interface ReportFile {
  readonly path: string;
  readonly content: string;
}

/**
 * All files of a report. The same analysis gives the same text; only `made.at` in result.json differs between two runs
 * on the same input, and no absolute path is in any file.
 */
export function writeReport(analysis: Analysis): readonly ReportFile[] {
  const { result } = analysis;
  const run = runOfAnalysis(analysis);
  return [
    { path: 'result.json', content: `${JSON.stringify(result, null, 2)}\n` },
    { path: 'trajectory.csv', content: trajectoryCsv(analysis) },
    { path: 'rates.csv', content: ratesCsv(result) },
    { path: 'datapackage.json', content: dataPackage(result) },
    { path: 'report.html', content: reportPage(analysis) },
    { path: 'charts/curves.svg', content: svgFile(curvesChart([run], 1184, lightTheme), lightTheme) },
    { path: 'charts/rates.svg', content: svgFile(rateChart([run], 900, lightTheme), lightTheme) },
    { path: 'charts/differences.svg', content: svgFile(differenceChart([run], 900, lightTheme), lightTheme) },
  ];
}
