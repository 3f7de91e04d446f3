import type { ColourPath, ExtentSeries } from './extent.ts';
import type { Fit } from './fit.ts';
import type { Measurement } from './measurement.ts';
import type { Result } from './result.ts';
import type { Run } from './run.ts';

/** One analysed run in memory: what the report is drawn from. Arrays over vials are in the order of the run file. */
export interface Analysis {
  readonly run: Run;
  readonly measurement: Measurement;
  readonly path: ColourPath;
  readonly series: readonly ExtentSeries[];
  readonly fits: readonly Fit[];
  /** Pooled course of the negative references on the run's own time since dosing; `null` without any. */
  readonly negativeBand: {
    readonly timeS: readonly number[];
    readonly mean: readonly number[];
    readonly lower: readonly number[];
    readonly upper: readonly number[];
  } | null;
  readonly cautions: readonly string[];
  readonly result: Result;
}
