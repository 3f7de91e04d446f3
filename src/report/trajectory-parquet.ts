import { parquetWriteBuffer, type ColumnSource } from 'hyparquet-writer';
import type { Analysis } from '../model/analysis.ts';
import type { CsvValue } from './csv.ts';
import { trajectoryColumns, trajectoryRows } from './trajectory-csv.ts';

type Column = (typeof trajectoryColumns)[number];

const types: Partial<Record<Column, NonNullable<ColumnSource['type']>>> = {
  region: 'STRING',
  frame: 'INT32',
  flags: 'STRING',
};

/**
 * The table of trajectory.csv as Apache Parquet (Snappy): the same columns, rows and numbers, these as doubles. What is
 * empty there is null here; names stand as they are, as nothing here runs a formula. The same analysis gives the same
 * bytes: the format keeps no clock.
 */
export function trajectoryParquet(analysis: Analysis): Uint8Array {
  const columns: CsvValue[][] = trajectoryColumns.map(() => []);
  for (const row of trajectoryRows(analysis)) {
    for (const [at, value] of row.entries()) columns[at]!.push(value === '' ? null : value);
  }
  const columnData = trajectoryColumns.map((name, at): ColumnSource => ({
    name,
    data: columns[at]!,
    type: types[name] ?? 'DOUBLE',
    nullable: name !== 'region',
  }));
  return new Uint8Array(parquetWriteBuffer({ columnData, createdBy: 'vialapse' }));
}
