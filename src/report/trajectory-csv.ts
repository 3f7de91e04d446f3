import type { Analysis } from '../model/analysis.ts';
import { csvTable, sixDigits, type CsvValue } from './csv.ts';

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
  return csvTable(trajectoryColumns, trajectoryRows(analysis));
}

/** The table's rows; `null` and empty flags: unknown or none. */
export function* trajectoryRows({ series, measurement }: Analysis): Generator<readonly CsvValue[]> {
  for (const vial of series) {
    for (let at = 0; at < vial.timeS.length; at += 1) {
      const numbers = [
        vial.timeRunS[at],
        vial.timeS[at],
        vial.hueDeg[at],
        vial.hueSeDeg[at],
        vial.chroma[at],
        vial.chromaSe[at],
        vial.lightness[at],
        vial.lightnessSe[at],
        vial.extent[at],
        vial.extentSe[at],
      ].map(sixDigits);
      yield [vial.region, measurement.frames.index[at] ?? null, ...numbers, vial.flags[at] ?? ''];
    }
  }
}
