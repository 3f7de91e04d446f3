import type { Result } from '../model/result.ts';
import { panelChart } from './charts/panel-chart.ts';
import { svgFile } from './charts/svg.ts';
import { lightTheme } from './charts/theme.ts';
import { csvTable, sixDigits } from './csv.ts';
import { matchPage } from './html/match-page.ts';
import { colourColumns, distanceColumns, matchPackage } from './match-package.ts';
import type { ReportFile } from './write-report.ts';

/** All files of a match report. @throws RangeError for a result without a `match` block. */
export function writeMatchReport(result: Result, cautions: readonly string[]): readonly ReportFile[] {
  const { match } = result;
  if (match === undefined) throw new RangeError('writeMatchReport: this result is not of match');
  const pairs = [...match.samples.flatMap(({ against }) => against), ...match.panel];
  return [
    { path: 'result.json', content: `${JSON.stringify(result, null, 2)}\n` },
    {
      path: 'colours.csv',
      content: csvTable(
        colourColumns.map(({ name }) => name),
        match.units.map(({ name, role, regions, lab }) => [name, role, regions.join(' '), ...lab.map(sixDigits)]),
      ),
    },
    {
      path: 'distances.csv',
      content: csvTable(
        distanceColumns.map(({ name }) => name),
        pairs.map((pair) => [
          pair.first,
          pair.second,
          pair.verdict,
          ...[pair.final.value, pair.final.margin, pair.history?.value, pair.history_unstretched, pair.stretch].map(
            sixDigits,
          ),
        ]),
      ),
    },
    { path: 'datapackage.json', content: matchPackage(result) },
    { path: 'report.html', content: matchPage(result, cautions) },
    { path: 'charts/panel.svg', content: svgFile(panelChart(match, lightTheme), lightTheme) },
  ];
}
