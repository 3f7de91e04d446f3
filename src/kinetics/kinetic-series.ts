/** One vial's extent over time; knows no vial. Arrays of equal length, ascending time. */
export interface KineticSeries {
  /** Seconds since that vial's reagent was added; frames before 0 are not used. */
  readonly timeS: readonly number[];
  /** Fraction converted; `null` = unreadable, left out. */
  readonly extent: readonly (number | null)[];
  /** Independent standard error of each extent; only ratios between frames are used. `null` = as the typical frame. */
  readonly extentSe: readonly (number | null)[];
}

/** Errors common to all vials: `draws[k][i]` is added to an extent of `extent[i]`; end values hold outside the grid. */
export interface PathDraws {
  readonly extent: readonly number[];
  readonly draws: readonly (readonly number[])[];
}

export interface KineticOptions {
  /** Chance, for this series, of calling a still vial moving; already divided for the run. */
  readonly falseAlarm: number;
  readonly pathDraws: PathDraws | null;
  /** Time at which samples are compared; the averaged curve has a grid point there. `null`: none. */
  readonly readAtS: number | null;
  /** Standard error of a constant offset of this vial's extents (glass, position). Default 0.01. */
  readonly offsetSe?: number;
  /** Standard error, extent, of what the correction of light leaves slowly at any time; common to all vials. Default 0. */
  readonly lightSe?: number;
}
