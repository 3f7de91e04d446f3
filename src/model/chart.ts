/** What a user's table says of a chart's patches, in the order of the chart's cells, row by row. */
export interface ChartTable {
  readonly kind: 'lab' | 'xyz';
  /** XYZ of the light the values hold for, Y = 1. */
  readonly white: readonly [number, number, number];
  /** Its name, such as `D50`, and whether the table itself named it. */
  readonly illuminant: string;
  readonly illuminantStated: boolean;
  /** CIELAB (lightness 0..100), or XYZ with Y = 1 for that light's white; `null`: the table has no values for this cell. */
  readonly cells: readonly (readonly [number, number, number] | null)[];
}

/** What became of the chart in a measurement. Differences are CIEDE2000. */
export interface ChartReport {
  readonly applied: boolean;
  /** Why it was not applied; `null` when it was. */
  readonly reason: string | null;
  /** Patches that the fit rests on, of all with a value. */
  readonly used: number;
  readonly patches: number;
  /** Patches that were not used, such as `B3`, with the reason. */
  readonly leftOut: readonly { readonly patch: string; readonly reason: string }[];
  /** Tone curves that were needed beside the matrix. */
  readonly curves: 'none' | 'common' | 'per-channel';
  readonly illuminant: string;
  readonly illuminantStated: boolean;
  /** Residual of the fit, and of each patch from a fit without it; `null` without a fit. */
  readonly meanDeltaE: number | null;
  readonly maxDeltaE: number | null;
  readonly leftOutMeanDeltaE: number | null;
  /** The same before any correction (overall brightness apart): how far the camera was off. */
  readonly uncorrectedMeanDeltaE: number | null;
}
