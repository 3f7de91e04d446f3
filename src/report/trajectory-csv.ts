import type { Analysis } from '../model/analysis.ts';
import type { ExtentSeries } from '../model/extent.ts';
import type { Column } from '../model/measurement.ts';
import { csvCell, sixDigits, sixDigitsCell, type CsvValue } from './csv.ts';

/** Columns of trajectory.csv: the contract. */
export const trajectoryColumns = [
  'region',
  'frame',
  'time_run_s',
  'time_s',
  'hue_deg',
  'hue_se_deg',
  'chroma',
  'chroma_se',
  'lightness',
  'lightness_se',
  'extent',
  'extent_se',
  'flags',
] as const;

/** One row a vial and used frame, vials in the order of the run file; numbers to six digits, empty = unknown. */
export function trajectoryCsv(analysis: Analysis): string {
  const { series, measurement } = analysis;
  const lines = [trajectoryColumns.join(',')];
  const frames = measurement.frames.index.map(csvCell);
  for (const vial of series) {
    const region = csvCell(vial.region);
    const columns = numberColumns(vial);
    for (let at = 0; at < vial.timeS.length; at += 1) {
      const cells = [region, frames[at] ?? ''];
      for (const column of columns) cells.push(sixDigitsCell(column[at]));
      cells.push(csvCell(vial.flags[at] ?? ''));
      lines.push(cells.join(','));
    }
  }
  return `${lines.join('\r\n')}\r\n`;
}

/** The columns of numbers, in the table's order. */
const numberColumns = (vial: ExtentSeries): readonly Column[] => [
  ...[vial.timeRunS, vial.timeS, vial.hueDeg, vial.hueSeDeg, vial.chroma, vial.chromaSe],
  ...[vial.lightness, vial.lightnessSe, vial.extent, vial.extentSe],
];

/** The table's rows as values; `null` and empty flags: unknown or none. */
export function* trajectoryRows({ series, measurement }: Analysis): Generator<readonly CsvValue[]> {
  for (const vial of series) {
    const columns = numberColumns(vial);
    for (let at = 0; at < vial.timeS.length; at += 1) {
      const numbers = columns.map((column) => sixDigits(column[at]));
      yield [vial.region, measurement.frames.index[at] ?? null, ...numbers, vial.flags[at] ?? ''];
    }
  }
}
