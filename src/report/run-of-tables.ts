import { csvParseRows } from 'd3-dsv';
import { UserError } from '../errors.ts';
import type { Result, ResultVial } from '../model/result.ts';
import { mostPoints, sampleOf, type ChartRun, type Course } from './chart-data.ts';
import { hexOfOklch } from './seen-colour.ts';
import { thinIndices } from './thin.ts';
import { trajectoryColumns } from './trajectory-csv.ts';

type Column = (typeof trajectoryColumns)[number];
type Row = (column: Column) => string;

/**
 * A run read back from the two tables of a report folder; fitted curves and bands are not kept there.
 * @throws UserError when the trajectory is not a table of ours or tells of other vials; `file` names it in the message.
 */
export function runOfTables(result: Result, trajectory: string, file: string): ChartRun {
  const [header = [], ...rows] = csvParseRows(trajectory.replace(/^\ufeff/, ''));
  const missing = trajectoryColumns.filter((column) => !header.includes(column));
  if (missing.length > 0) {
    throw new UserError({
      code: 'not-a-trajectory',
      message: `columns are missing: ${missing.join(', ')}`,
      file,
      expected: 'the trajectory.csv that "vialapse analyse" wrote',
      hint: 'analyse the run again',
    });
  }
  const at = new Map(trajectoryColumns.map((column) => [column, header.indexOf(column)]));
  const byRegion = new Map<string, Row[]>();
  for (const cells of rows) {
    const row: Row = (column) => cells[at.get(column)!] ?? '';
    const region = row('region').replace(/^'(?=[=+\-@\t\r\n])/, '');
    const list = byRegion.get(region);
    if (list === undefined) byRegion.set(region, [row]);
    else list.push(row);
  }
  return {
    result,
    negatives: null,
    vials: result.vials.map((vial) => ({
      result: vial,
      sample: sampleOf(result, vial.region),
      course: course(byRegion.get(vial.region) ?? missingVial(vial, file)),
      fitted: null,
      events: [],
    })),
  };
}

function missingVial(vial: ResultVial, file: string): never {
  throw new UserError({
    code: 'vial-without-trajectory',
    message: `vial ${vial.region} of result.json has no row here`,
    file,
    hint: 'the two files are of different runs: analyse the run again',
  });
}

function course(rows: readonly Row[]): Course {
  const known = rows.filter((row) => number(row('extent')) !== null && number(row('time_s')) !== null);
  const kept = thinIndices(known.length, mostPoints).map((index) => known[index]!);
  const colours = kept.map((row) => ({
    lightness: number(row('lightness')) ?? 0.5,
    chroma: number(row('chroma')) ?? 0,
    hueDeg: number(row('hue_deg')),
  }));
  return {
    timeS: kept.map((row) => number(row('time_s'))!),
    extent: kept.map((row) => number(row('extent'))!),
    colour: colours.map(({ lightness, chroma, hueDeg }) => hexOfOklch(lightness, chroma, hueDeg)),
    hueDeg: colours.map(({ hueDeg }) => hueDeg),
    ab: colours.map(({ chroma, hueDeg }) => {
      const angle = ((hueDeg ?? 0) * Math.PI) / 180;
      return [chroma * Math.cos(angle), chroma * Math.sin(angle)] as const;
    }),
  };
}

function number(cell: string): number | null {
  const value = cell.trim() === '' ? Number.NaN : Number(cell);
  return Number.isFinite(value) ? value : null;
}
