import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { loadChart } from '../../src/files/load-chart.ts';
import type { ChartTable } from '../../src/model/chart.ts';

const folder = mkdtempSync(path.join(os.tmpdir(), 'vialapse-chart-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function load(text: string, rows = 2, columns = 3): Promise<ChartTable> {
  const values = path.join(folder, 'chart.txt');
  writeFileSync(values, text);
  return loadChart({ rows, columns, values });
}
const refused = (text: string, rows?: number, columns?: number): Promise<UserError> =>
  load(text, rows, columns).then(
    () => Promise.reject(new Error('accepted')),
    (error: unknown) => (error instanceof UserError ? error : Promise.reject(error as Error)),
  );

/** The layout of ANSI CGATS.17: header, format, data. Values invented. */
const cgats = (rows: string, head = '', sets = 6): string => `CGATS.17
ORIGINATOR "a bench"   # who
${head}
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L
LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS ${sets}
BEGIN_DATA
${rows}
END_DATA
`;
const six = [
  '1 "dark skin" 38 13 14',
  '2 b 65 18 17',
  '3 c 50 -5 -21',
  '4 d 43 -15 22',
  '5 e 55 9 -25',
  '6 f 70 -32 0',
];

describe('loadChart', () => {
  it('reads CGATS row by row, quoted names and comments included, for D50 unless told', async () => {
    const table = await load(cgats(six.join('\n')));
    expect(table).toMatchObject({ kind: 'lab', illuminant: 'D50', illuminantStated: false });
    expect(table.white).toEqual([0.96422, 1, 0.82521]);
    expect(table.cells[0]).toEqual([38, 13, 14]);
    expect(table.cells[5]).toEqual([70, -32, 0]);
  });

  it.each([
    ['ILLUMINATION_NAME "D65"', 'D65'],
    ['WEIGHTING_FUNCTION "ILLUMINANT,D65"', 'D65'],
    ['KEYWORD "ILLUMINANT"\nILLUMINANT "D55"', 'D55'],
  ])('takes the light from %s', async (head, light) => {
    expect(await load(cgats(six.join('\n'), head))).toMatchObject({ illuminant: light, illuminantStated: true });
  });

  it('reads CSV of either space, in any order of columns, with another light named', async () => {
    const table = await load('# illuminant: D65\nZ;X;Y;id\n40;50;45;A1\n4;5;6;B3\n', 2, 3);
    expect(table).toMatchObject({ kind: 'xyz', illuminant: 'D65', illuminantStated: true });
    expect(table.cells).toEqual([[0.5, 0.45, 0.4], null, null, null, null, [0.05, 0.06, 0.04]]);
    expect((await load('L,a,b\n96,0,2\n20,1,1\n', 1, 2)).cells).toEqual([
      [96, 0, 2],
      [20, 1, 1],
    ]);
  });

  it('places names by letter as row, or as column where only that fits', async () => {
    const rows = (names: string[]): string =>
      `id,L,a,b\n${names.map((name, index) => `${name},${10 + index},0,0`).join('\n')}\n`;
    const byRow = await load(rows(['A1', 'A2', 'A3', 'B1', 'B2', 'B3']));
    expect(byRow.cells.map((cell) => cell![0])).toEqual([10, 11, 12, 13, 14, 15]);
    const byColumn = await load(rows(['A1', 'A2', 'B1', 'B2', 'C1', 'C2']));
    expect(byColumn.cells.map((cell) => cell![0])).toEqual([10, 12, 14, 11, 13, 15]);
  });

  it.each([
    ['a row too short', cgats(six.with(2, '3 c 50 -5').join('\n')), 'cgats-row', 13],
    ['a decimal comma', cgats(six.with(1, '2 b 65,1 18 17').join('\n')), 'cgats-row', 12],
    ['a count that is not kept', cgats(six.slice(1).join('\n')), 'cgats-count', 9],
    ['a lightness of no print', cgats(six.with(3, '4 d 143 -15 22').join('\n')), 'out-of-range', 14],
    ['data without an end', cgats(six.join('\n')).replace('END_DATA\n', ''), 'cgats-data', 10],
    ['no colours in the format', cgats(six.join('\n')).replace('LAB_B', 'RGB_B'), 'cgats-fields', 5],
    ['a light without numbers', cgats(six.join('\n'), 'ILLUMINANT F11'), 'chart-illuminant', undefined],
    ['a heading without colours', 'id,red,green,blue\n1,2,3,4\n', 'chart-heading', 1],
    ['a cell left empty', 'id,L,a,b\nA1,50,,3\n', 'chart-row', 2],
    ['a row twice', 'id,L,a,b\nA1,50,0,3\nA1,60,0,3\n', 'repeated-id', 3],
    ['too few unnamed rows', 'L,a,b\n50,0,3\n60,0,3\n', 'chart-size', 3],
    ['no row', 'id,L,a,b\n', 'chart-empty', undefined],
  ])('refuses %s, with its line', async (_, text, code, line) => {
    const error = await refused(text);
    expect([error.code, error.details.line]).toEqual([code, line]);
    expect(error.message).toContain('chart.txt');
    expect(error.details.expected).toBeTruthy();
  });
});
