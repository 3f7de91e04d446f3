import { UserError } from '../errors.ts';
import type { Result, ResultVial } from '../model/result.ts';
import { mostPoints, numberedEvents, sampleOf, type ChartRun, type Course } from './chart-data.ts';
import { readCurves } from './curves-csv.ts';
import { readEvents } from './events-csv.ts';
import { cellNumber, plainName, readTable, type Row } from './read-table.ts';
import { hexOfOklch } from './seen-colour.ts';
import { thinIndices } from './thin.ts';
import { trajectoryColumns } from './trajectory-csv.ts';

type TrajectoryRow = Row<(typeof trajectoryColumns)[number]>;

/** One table of a report folder: its text, and its name for messages. */
export interface ReportTable {
  readonly text: string;
  readonly file: string;
}

export interface ReportTables {
  readonly trajectory: ReportTable;
  /** `null`: a report written before curves were kept; its charts show the frames alone. */
  readonly curves: ReportTable | null;
  /** `null`: nothing happened. */
  readonly events: ReportTable | null;
}

/**
 * A run read back from the tables of a report folder, to be drawn as its own charts are.
 * @throws UserError when a table is not one of ours or tells of other vials.
 */
export function runOfTables(result: Result, { trajectory, curves, events }: ReportTables): ChartRun {
  const byRegion = new Map<string, TrajectoryRow[]>();
  for (const row of readTable(trajectory.text, trajectoryColumns, trajectory.file)) {
    const region = plainName(row('region'));
    const list = byRegion.get(region);
    if (list === undefined) byRegion.set(region, [row]);
    else list.push(row);
  }
  const drawn = curves === null ? null : readCurves(curves.text, curves.file);
  const happened = events === null ? [] : readEvents(events.text, events.file);
  return {
    result,
    negatives: drawn?.negatives ?? null,
    vials: result.vials.map((vial) => ({
      result: vial,
      sample: sampleOf(result, vial.region),
      course: course(byRegion.get(vial.region) ?? missingVial(vial, trajectory.file)),
      fitted: drawn?.fitted.get(vial.region) ?? null,
      events: numberedEvents(happened, vial.region, vial.added_run_s),
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

function course(rows: readonly TrajectoryRow[]): Course {
  const known = rows.filter((row) => cellNumber(row('extent')) !== null && cellNumber(row('time_s')) !== null);
  const kept = thinIndices(known.length, mostPoints).map((index) => known[index]!);
  const colours = kept.map((row) => ({
    lightness: cellNumber(row('lightness')) ?? 0.5,
    chroma: cellNumber(row('chroma')) ?? 0,
    hueDeg: cellNumber(row('hue_deg')),
  }));
  return {
    timeS: kept.map((row) => cellNumber(row('time_s'))!),
    extent: kept.map((row) => cellNumber(row('extent'))!),
    colour: colours.map(({ lightness, chroma, hueDeg }) => hexOfOklch(lightness, chroma, hueDeg)),
    hueDeg: colours.map(({ hueDeg }) => hueDeg),
    ab: colours.map(({ chroma, hueDeg }) => {
      const angle = ((hueDeg ?? 0) * Math.PI) / 180;
      return [chroma * Math.cos(angle), chroma * Math.sin(angle)] as const;
    }),
  };
}
