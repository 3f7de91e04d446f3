import { csvParse, csvParseRows } from 'd3-dsv';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Analysis } from '../../src/model/analysis.ts';
import { csvCell, csvTable, sixDigits, sixDigitsCell } from '../../src/report/csv.ts';
import { curvesCsv } from '../../src/report/curves-csv.ts';
import { dataPackage } from '../../src/report/data-package.ts';
import { eventsCsv } from '../../src/report/events-csv.ts';
import { ratesCsv } from '../../src/report/rates-csv.ts';
import { trajectoryCsv } from '../../src/report/trajectory-csv.ts';
import { writeMatchReport } from '../../src/report/match-report.ts';
import { overviewCsv } from '../../src/report/overview-csv.ts';
import { exampleMatch } from '../support/example-match.ts';
import { fullOverview } from '../support/example-overview.ts';
import { hostileLabels } from '../support/hostile-labels.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

let analysis: Analysis;
beforeAll(async () => {
  analysis = await exampleAnalysis({ labels: ['=1+cmd|x', 'a "quoted", label\nof two lines'] });
});

describe('cells', () => {
  // OWASP, "CSV Injection": = + - @ tab and carriage return start a formula.
  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', '＝1+1'])('keeps %j from being run', (label) => {
    expect(csvParseRows(csvCell(label))[0]?.[0]).toBe(`'${label}`);
  });

  it('leaves negative numbers numbers, and unknown empty', () => {
    expect([csvCell(-0.5), csvCell(null), csvCell(Number.NaN)]).toEqual(['-0.5', '', '']);
  });

  it('writes six digits straight as it would by way of a number', () => {
    const cases = [
      0,
      -0,
      1,
      -1,
      100,
      123_456,
      1_234_567,
      999_999.5,
      1e-6,
      9.9999995e-7,
      0.1,
      1e21,
      NaN,
      Infinity,
      null,
    ];
    for (const value of cases) expect(sixDigitsCell(value), String(value)).toBe(csvCell(sixDigits(value)));
    const ordinary = fc.double({ min: -2e6, max: 2e6 });
    fc.assert(
      fc.property(fc.oneof(ordinary, fc.double(), fc.integer()), (value) => {
        expect(sixDigitsCell(value)).toBe(csvCell(sixDigits(value)));
      }),
      { numRuns: 2000 },
    );
  });

  it('gives back any text (RFC 4180)', () => {
    const harmless = fc.string({ unit: 'grapheme' }).filter((value) => !/^[=+\-@\t\r\n＝＋－＠]/.test(value));
    fc.assert(
      fc.property(fc.array(harmless, { minLength: 2, maxLength: 5 }), (row) => {
        const [, parsed] = csvParseRows(
          csvTable(
            row.map((_, index) => `c${index}`),
            [row],
          ),
        );
        expect(parsed).toEqual(row);
      }),
    );
  });
});

describe('trajectory.csv', () => {
  it('has the columns of the contract and a row a vial and frame', () => {
    const [header, ...rows] = csvParseRows(trajectoryCsv(analysis));
    expect(header?.join(',')).toBe(
      'region,frame,time_run_s,time_s,hue_deg,hue_se_deg,chroma,chroma_se,lightness,lightness_se,extent,extent_se,flags',
    );
    expect(rows).toHaveLength(12 * 241);
  });

  it('leaves unknown values empty and keeps the flags', () => {
    const rows = csvParse(trajectoryCsv(analysis)).filter((row) => row['region'] === 'B5');
    const shaken = rows.filter((row) => row['flags'] === 'disturbed');
    expect(shaken.length).toBeGreaterThan(3);
    expect(new Set(shaken.map((row) => row['extent']))).toEqual(new Set(['']));
    expect(Number(rows[1]?.['extent'])).toBeCloseTo(analysis.series[10]!.extent[1] ?? 0, 5);
  });
});

describe('labels in every table', () => {
  it('are whole, and none begins as a formula does (OWASP, "CSV Injection")', async () => {
    const hostile = [...hostileLabels, '-2', '@SUM(A1)', '\t=1'];
    const { result } = await exampleAnalysis({ frames: 9, labels: hostile, rows: 3 });
    const events = hostile.map((what, at) => ({ atRunS: 60 * at, what, region: null }));
    const match = writeMatchReport(await exampleMatch(hostile), []).filter(({ path }) => path.endsWith('.csv'));
    const tables = [
      ...[ratesCsv(result), eventsCsv(events), overviewCsv(fullOverview(hostile))],
      ...match.map(({ content }) => String(content)),
    ];
    for (const table of tables) {
      const cells = csvParseRows(table).flat();
      // the first seven are in every table; that a cell is a number is no formula
      for (const label of hostile.slice(0, 7)) {
        expect(cells.filter((cell) => cell.includes(label)).length).toBeGreaterThan(0);
      }
      const formulas = cells.filter((cell) => /^[=+\-@\t\r]/.test(cell) && !/^-\d+(\.\d+)?(e-?\d+)?$/.test(cell));
      expect(formulas).toEqual([]);
    }
  });
});

describe('rates.csv', () => {
  it('gives every vial its numbers unrounded', () => {
    const rows = csvParse(ratesCsv(analysis.result));
    expect(rows.map((row) => row['region'])).toEqual(analysis.result.vials.map((vial) => vial.region));
    expect(Number(rows[1]?.['initial_rate_per_s'])).toBe(analysis.result.vials[1]?.fit.initial_rate?.value);
    expect(rows[0]?.['half_time_censored']).toBe('right');
    expect(rows[0]?.['half_time_ci95_high_s']).toBe('');
    expect(rows[6]?.['label']).toBe("'=1+cmd|x");
    expect(rows[7]?.['label']).toBe('a "quoted", label\nof two lines');
  });
});

describe('datapackage.json', () => {
  it('describes every column of every table', () => {
    const description = JSON.parse(dataPackage(analysis.result, { events: true, parquet: false })) as {
      resources: { path: string; schema: { fields: { name: string; type: string; description: string }[] } }[];
    };
    const tables: Record<string, string> = {
      'trajectory.csv': trajectoryCsv(analysis),
      'rates.csv': ratesCsv(analysis.result),
      'curves.csv': curvesCsv(analysis),
      'events.csv': eventsCsv(analysis.run.events),
    };
    expect(description.resources.map(({ path }) => path)).toEqual(Object.keys(tables));
    for (const { path, schema } of description.resources) {
      const table = csvParse(tables[path]!);
      expect(schema.fields.map((field) => field.name)).toEqual(table.columns);
      expect(schema.fields.filter((field) => field.description.trim() === '')).toEqual([]);
      const numbers = schema.fields.filter((field) => field.type !== 'string').map((field) => field.name);
      const wrong = table.flatMap((row) =>
        numbers.filter((name) => row[name] !== '' && !Number.isFinite(Number(row[name]))),
      );
      expect(wrong).toEqual([]);
    }
  });
});
