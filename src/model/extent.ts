import type { Column } from './measurement.ts';

/** What ties the colour path to the extent scale. */
export interface ColourPath {
  readonly source: 'fitted' | 'saved';
  /** Sentences naming what pinned the path, such as `extent 0: A1 (blank)`. */
  readonly pins: readonly string[];
  readonly pinnedStart: boolean;
  readonly pinnedEnd: boolean;
  /** Extent grid 0..1, ascending, and the linear RGB of the path there. */
  readonly extent: readonly number[];
  readonly linearRgb: readonly (readonly [number, number, number])[];
  /** Root mean square distance of the colours used from the path, OKLab units. */
  readonly residual: number | null;
  /** Typical (RMS over the curve) standard error of extent from the path itself; common to all vials. */
  readonly extentError: number | null;
  /**
   * Draws of the path error, shared by all vials: `draws[k][i]` is the error to add to an extent of `extent[i]`
   * to get what it would be under the k-th plausible path. Interpolate linearly; hold the end values outside 0..1.
   */
  readonly draws: readonly (readonly number[])[];
  readonly notes: readonly {
    readonly code: string;
    readonly severity: 'info' | 'warn' | 'fail';
    readonly message: string;
  }[];
}

/** One vial's extent over the used frames (same order as Measurement.frames). */
export interface ExtentSeries {
  readonly region: string;
  readonly addedRunS: number;
  readonly timeRunS: readonly number[];
  /** Seconds since this vial's reagent was added; negative before. */
  readonly timeS: readonly number[];
  /** 0..1 nominal, never clipped; `null` before dosing, in cut stretches, or unreadable. */
  readonly extent: Column;
  /** Standard error independent between vials and frames (pixel noise); path error is not in it. */
  readonly extentSe: Column;
  /** Error constant over this vial's whole run (glass, position), standard error in extent; `null` unknown. */
  readonly vialSe: number | null;
  /** Degrees of freedom by which `vialSe` was learnt from this run's vials; absent or `null`: not learnt. */
  readonly vialSeDf?: number | null;
  /** Distance off the path, OKLab units. */
  readonly offPath: Column;
  /** Whether the vial's colours over the run follow another path than the run's: it had no say in that, and its extents are doubtful. Absent: no. */
  readonly strange?: boolean;
  readonly hueDeg: Column;
  readonly hueSeDeg: Column;
  readonly chroma: Column;
  readonly chromaSe: Column;
  readonly lightness: Column;
  readonly lightnessSe: Column;
  /** Codes per frame, such as `off-path clipped`; empty string for none. */
  readonly flags: readonly string[];
}
