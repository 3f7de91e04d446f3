import { csvParse } from 'd3-dsv';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Analysis } from '../../src/model/analysis.ts';
import { trajectoryColumns, trajectoryCsv } from '../../src/report/trajectory-csv.ts';
import { trajectoryParquet } from '../../src/report/trajectory-parquet.ts';
import { writeReport } from '../../src/report/write-report.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

let analysis: Analysis;
beforeAll(async () => {
  analysis = await exampleAnalysis({ frames: 61 });
});

const bufferOf = (bytes: Uint8Array): ArrayBuffer => new Uint8Array(bytes).buffer;
const texts = new Set(['region', 'flags']);

describe('trajectory.parquet', () => {
  it('holds what trajectory.csv holds: columns, rows, numbers, and null for empty', async () => {
    const rows = await parquetReadObjects({ file: bufferOf(trajectoryParquet(analysis)) });
    const table = csvParse(trajectoryCsv(analysis));
    const asRead = table.map((row) =>
      Object.fromEntries(
        table.columns.map((name) => {
          const cell = row[name]!;
          return [name, cell === '' ? null : texts.has(name) ? cell : Number(cell)];
        }),
      ),
    );
    expect(rows).toEqual(asRead);
    expect(rows).toHaveLength(12 * 61);
    expect(rows.some((row) => row['extent'] === null && row['flags'] === 'disturbed')).toBe(true);
  });

  it('has doubles for numbers, whole ones for frames, and no clock', () => {
    const { schema, created_by, key_value_metadata } = parquetMetadata(bufferOf(trajectoryParquet(analysis)));
    const types = Object.fromEntries(schema.slice(1).map(({ name, type }) => [name, type]));
    expect(Object.keys(types)).toEqual([...trajectoryColumns]);
    const { region, frame, flags, ...rest } = types;
    expect([region, frame, flags]).toEqual(['BYTE_ARRAY', 'INT32', 'BYTE_ARRAY']);
    expect(new Set(Object.values(rest))).toEqual(new Set(['DOUBLE']));
    expect([created_by, key_value_metadata ?? []]).toEqual(['vialapse', []]);
    expect(trajectoryParquet(analysis)).toEqual(trajectoryParquet(analysis));
  });

  it('keeps a column of which nothing is known', async () => {
    const series = analysis.series.map((one) => ({ ...one, extent: one.extent.map(() => null), flags: [] }));
    const file = bufferOf(trajectoryParquet({ ...analysis, series }));
    const rows = await parquetReadObjects({ file, columns: ['extent', 'flags'] });
    expect(new Set(rows.flatMap((row) => Object.values(row) as unknown[]))).toEqual(new Set([null]));
  });

  it('is written when asked for, and then described', () => {
    const paths = (parquet: boolean): readonly string[] => writeReport(analysis, { parquet }).map((file) => file.path);
    expect(paths(false)).not.toContain('trajectory.parquet');
    expect(paths(true)).toContain('trajectory.parquet');
    const files = writeReport(analysis, { parquet: true });
    const text = String(files.find((file) => file.path === 'datapackage.json')!.content);
    const { profile, resources } = JSON.parse(text) as {
      profile: string;
      resources: { path: string; schema: { fields: { name: string }[] } }[];
    };
    const described = resources.find((resource) => resource.path === 'trajectory.parquet')!;
    expect(described.schema.fields.map(({ name }) => name)).toEqual([...trajectoryColumns]);
    // The tabular profile of the standard knows CSV only.
    expect(profile).toBe('data-package');
  });
});
