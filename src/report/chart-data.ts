import type { Result, ResultSample, ResultVial } from '../model/result.ts';
import type { RunEvent } from '../model/run.ts';

/** A vial's own course as charts draw it; equal-length columns, unknown frames left out, thinned. */
export interface Course {
  /** Seconds since this vial's reagent was added. */
  readonly timeS: readonly number[];
  readonly extent: readonly number[];
  /** The colour the camera saw, `#rrggbb`. */
  readonly colour: readonly string[];
  readonly hueDeg: readonly (number | null)[];
  /** OKLab a and b. */
  readonly ab: readonly (readonly [number, number])[];
}

/** A curve with its 95 % band; columns of one length. */
export interface Band {
  readonly timeS: readonly number[];
  readonly mean: readonly number[];
  readonly lower: readonly number[];
  readonly upper: readonly number[];
}

/** Something that happened at the bench, numbered as in the list below the charts. */
export interface NumberedEvent {
  readonly number: number;
  readonly timeS: number;
}

export interface ChartVial {
  readonly result: ResultVial;
  /** The sample this vial belongs to; `null` for references. */
  readonly sample: ResultSample | null;
  readonly course: Course;
  /** `null`: no fit, or read back from a report written before curves were kept. */
  readonly fitted: Band | null;
  readonly events: readonly NumberedEvent[];
}

/** One run, ready for drawing. */
export interface ChartRun {
  readonly result: Result;
  readonly vials: readonly ChartVial[];
  readonly negatives: Band | null;
}

/** What a chart axis of time shows. */
export interface TimeAxis {
  readonly kind: 'linear' | 'log';
  readonly fromS: number;
  readonly toS: number;
}

/** Most points drawn of one vial: more would overlap at any printed size (chosen: 180 px of plot, a dot of 3 px). */
export const mostPoints = 110;

/** Linear from dosing to the last frame of all runs; a log axis begins at the first frame after 1 s. */
export function timeAxis(runs: readonly ChartRun[], kind: 'linear' | 'log'): TimeAxis {
  const times = runs.flatMap((run) => run.vials.flatMap((vial) => vial.course.timeS)).filter((at) => at > 1);
  const last = Math.max(1, ...times, ...runs.map((run) => run.result.run.read_at_s));
  return { kind, fromS: kind === 'linear' ? 0 : Math.min(last / 10, ...times), toS: last };
}

/** Sample a vial belongs to, by region. */
export function sampleOf(result: Result, region: string): ResultSample | null {
  return result.samples.find((sample) => sample.regions.includes(region)) ?? null;
}

/** The events that concern a vial, numbered in the order of the run file, in its own time. */
export function numberedEvents(
  events: readonly RunEvent[],
  region: string,
  addedRunS: number | null,
): readonly NumberedEvent[] {
  if (addedRunS === null) return [];
  return events.flatMap((event, index) =>
    event.region === null || event.region === region ? [{ number: index + 1, timeS: event.atRunS - addedRunS }] : [],
  );
}
