import { UserError } from '../errors.ts';
import type { ChartTable } from '../model/chart.ts';
import type { Chart } from '../model/region.ts';
import { cgatsRows, isCgats } from './chart-cgats.ts';
import { csvRows } from './chart-csv.ts';
import { readTextFile, shownPath } from './read-text-file.ts';

/** Colours of one line of a chart's table. */
export interface ChartRow {
  readonly line: number;
  readonly id: string | null;
  readonly values: readonly [number, number, number];
}

export interface ChartRows {
  readonly kind: ChartTable['kind'];
  /** Light the values hold for, as the file names it; `null`: it does not. */
  readonly illuminant: string | null;
  readonly rows: readonly ChartRow[];
}

/** Tells what is wrong at a line. */
export type Refuse = (code: string, line: number | undefined, message: string, expected: string, got: string) => never;

/** XYZ of lights, Y = 1, 2-degree observer (ASTM E308-01 as printed by B. Lindbloom; D50 is also that of the ICC; from memory). */
const whites: Readonly<Record<string, readonly [number, number, number]>> = {
  D50: [0.96422, 1, 0.82521],
  D55: [0.95682, 1, 0.92149],
  D65: [0.95047, 1, 1.08883],
  D75: [0.94972, 1, 1.22638],
  A: [1.0985, 1, 0.35585],
  C: [0.98074, 1, 1.18232],
};

/**
 * Reads the table of a chart: CGATS (LAB_L, LAB_A, LAB_B or XYZ_X, XYZ_Y, XYZ_Z) or CSV (L, a, b or X, Y, Z). Values hold for D50, as
 * graphic-arts tables do (ISO 13655), unless the file names another light.
 * @throws UserError naming file and line.
 */
export async function loadChart(chart: Pick<Chart, 'rows' | 'columns' | 'values'>): Promise<ChartTable> {
  const file = shownPath(chart.values);
  const text = await readTextFile(chart.values);
  const refuse: Refuse = (code, line, message, expected, got) => {
    throw new UserError({ code, message, file, line, expected, got: got.slice(0, 80) });
  };
  const lines = text.split(/\r\n|\r|\n/);
  const { kind, illuminant, rows } = isCgats(lines) ? cgatsRows(lines, refuse) : csvRows(lines, refuse);
  const name = illuminant ?? 'D50';
  const white = whites[name.toUpperCase()];
  if (white === undefined) {
    refuse(
      'chart-illuminant',
      undefined,
      'the table names a light that is not known',
      Object.keys(whites).join(', '),
      name,
    );
  }
  if (rows.length === 0) refuse('chart-empty', undefined, 'there are no colours', 'one row a patch', 'none');
  for (const { line, values } of rows) {
    const [first, second, third] = values;
    const possible =
      kind === 'lab'
        ? first >= 0 && first <= 100.5 && Math.abs(second) <= 200 && Math.abs(third) <= 200
        : first >= 0 && second >= 0 && third >= 0 && Math.max(first, second, third) <= 150;
    if (possible) continue;
    const range = kind === 'lab' ? 'L 0 to 100, a and b -200 to 200' : 'X, Y, Z from 0 on, white near 100';
    refuse('out-of-range', line, 'this is not a colour that a print can have', range, values.join(', '));
  }
  // White of 1 instead of 100: no chart's lightest patch reflects less than 2 %.
  const scale = Math.max(...rows.map(({ values }) => values[1])) <= 1.5 ? 1 : 100;
  return {
    kind,
    white: white!,
    illuminant: name.toUpperCase(),
    illuminantStated: illuminant !== null,
    cells: placeRows(rows, chart, refuse).map((row) => {
      if (row === null || kind === 'lab') return row?.values ?? null;
      return [row.values[0] / scale, row.values[1] / scale, row.values[2] / scale];
    }),
  };
}

/**
 * Rows to cells. Names such as `B3` place themselves: the letter is the row if letters and numbers fit that way, else the column;
 * any other names, or none, go row by row and must be as many as there are cells.
 */
function placeRows(
  rows: readonly ChartRow[],
  { rows: down, columns: across }: Pick<Chart, 'rows' | 'columns'>,
  refuse: Refuse,
): readonly (ChartRow | null)[] {
  const named = rows.map(({ id }) => /^([A-Za-z])0*(\d{1,3})$/.exec(id ?? ''));
  const places = named.map((match) =>
    match === null ? null : ([match[1]!.toUpperCase().charCodeAt(0) - 65, Number(match[2]) - 1] as const),
  );
  const fits = (letters: number, numbers: number): boolean =>
    places.every((place) => place !== null && place[0] < letters && place[1] >= 0 && place[1] < numbers);
  const cells: (ChartRow | null)[] = Array.from({ length: down * across }, () => null);
  const letterIsRow = fits(down, across);
  if (letterIsRow || fits(across, down)) {
    places.forEach((place, index) => {
      const at = letterIsRow ? place![0] * across + place![1] : place![1] * across + place![0];
      const { line, id } = rows[index]!;
      if (cells[at] !== null) refuse('repeated-id', line, 'two rows are called the same', 'one row a patch', id ?? '');
      cells[at] = rows[index]!;
    });
    return cells;
  }
  if (rows.length !== cells.length) {
    const expected = `${cells.length} rows (${down} x ${across} cells of rig.json), or names such as B3`;
    refuse(
      'chart-size',
      rows.at(-1)!.line,
      'rows and cells of the chart do not match',
      expected,
      `${rows.length} rows`,
    );
  }
  return rows;
}
