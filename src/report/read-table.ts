import { csvParseRows } from 'd3-dsv';
import { UserError } from '../errors.ts';

/** A cell by its column; empty where the row is short. */
export type Row<Column extends string> = (column: Column) => string;

/**
 * The rows of a table of ours by its columns; further columns are passed over.
 * @throws UserError when a column is missing; `file` names the table in the message.
 */
export function readTable<Column extends string>(
  text: string,
  columns: readonly Column[],
  file: string,
): readonly Row<Column>[] {
  const [header = [], ...rows] = csvParseRows(text.replace(/^\ufeff/, ''));
  const missing = columns.filter((column) => !header.includes(column));
  if (missing.length > 0) {
    throw new UserError({
      code: 'not-a-report-table',
      message: `columns are missing: ${missing.join(', ')}`,
      file,
      expected: 'the table that "vialapse analyse" wrote',
      hint: 'analyse the run again',
    });
  }
  const at = new Map(columns.map((column) => [column, header.indexOf(column)]));
  return rows.map(
    (cells): Row<Column> =>
      (column) =>
        cells[at.get(column)!] ?? '',
  );
}

/** A name as it was before a table put an apostrophe in front for the sake of spreadsheets. */
export function plainName(cell: string): string {
  return cell.replace(/^'(?=[=+\-@\t\r\n])/, '');
}

/** The number in a cell; `null` when it is empty or holds none. */
export function cellNumber(cell: string): number | null {
  const value = cell.trim() === '' ? Number.NaN : Number(cell);
  return Number.isFinite(value) ? value : null;
}
