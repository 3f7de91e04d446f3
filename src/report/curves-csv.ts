import { UserError } from '../errors.ts';
import type { Analysis } from '../model/analysis.ts';
import type { Band } from './chart-data.ts';
import { csvTable, sixDigits, type CsvValue } from './csv.ts';
import { cellNumber, plainName, readTable } from './read-table.ts';

/** Columns of curves.csv: what the charts draw behind the frames. */
export const curvesColumns = [
  'curve',
  'region',
  'time_s',
  'extent',
  'extent_band95_low',
  'extent_band95_high',
] as const;

/** The fitted curve of every vial, then the course of the negative references (no region), each with its 95 % band. */
export interface Curves {
  readonly fitted: ReadonlyMap<string, Band>;
  readonly negatives: Band | null;
}

/** The curves as a table, to six digits, so that charts of a finished report show what its own charts show. */
export function curvesCsv({ fits, series, negativeBand }: Analysis): string {
  return csvTable(curvesColumns, rows());

  function* rows(): Generator<readonly CsvValue[]> {
    for (const [index, { region }] of series.entries()) {
      const curve = fits[index]?.curve ?? null;
      if (curve !== null) yield* bandRows('fit', region, { ...curve, mean: curve.extent });
    }
    if (negativeBand !== null) yield* bandRows('negatives', null, negativeBand);
  }
}

function* bandRows(curve: string, region: string | null, band: Band): Generator<readonly CsvValue[]> {
  for (const [at, timeS] of band.timeS.entries()) {
    yield [curve, region, ...[timeS, band.mean[at], band.lower[at], band.upper[at]].map(sixDigits)];
  }
}

/** The curves of a report's table. @throws UserError when it is none of ours; `file` names it in the message. */
export function readCurves(text: string, file: string): Curves {
  const bands = new Map<string, { timeS: number[]; mean: number[]; lower: number[]; upper: number[] }>();
  const negativesKey = '';
  for (const row of readTable(text, curvesColumns, file)) {
    const key = row('curve') === 'negatives' ? negativesKey : plainName(row('region'));
    const [timeS, mean, lower, upper] = [
      cellNumber(row('time_s')),
      cellNumber(row('extent')),
      cellNumber(row('extent_band95_low')),
      cellNumber(row('extent_band95_high')),
    ];
    if (timeS === null || mean === null || lower === null || upper === null) {
      throw new UserError({
        code: 'damaged-curves',
        message: `a curve of ${key === negativesKey ? 'the negative references' : key} has a cell without a number`,
        file,
        expected: 'the table that "vialapse analyse" wrote',
        hint: 'analyse the run again',
      });
    }
    const band = bands.get(key) ?? { timeS: [], mean: [], lower: [], upper: [] };
    bands.set(key, band);
    band.timeS.push(timeS);
    band.mean.push(mean);
    band.lower.push(lower);
    band.upper.push(upper);
  }
  const negatives = bands.get(negativesKey) ?? null;
  bands.delete(negativesKey);
  return { fitted: bands, negatives };
}
