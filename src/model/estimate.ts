/** A number with standard error and 95 % interval; a `null` bound means unbounded on that side. */
export interface Estimate {
  readonly value: number;
  readonly se: number | null;
  readonly ci95: readonly [number | null, number | null];
}

/** A time in seconds; censored `right`: not reached by `value`, `left`: already passed at `value`. */
export interface TimeEstimate extends Estimate {
  readonly censored: 'none' | 'left' | 'right';
}
