import type { Estimate, TimeEstimate } from './estimate.ts';

/** The kinetic models, named by their shape; the chemistry each stands for is told in kinetics/models. */
export type ModelName =
  | 'none'
  | 'zero-order'
  | 'first-order'
  | 'first-order-induction'
  | 'burst-background'
  | 'consecutive'
  | 'sigmoid'
  | 'second-order';

export interface Candidate {
  readonly model: ModelName;
  readonly aicc: number | null;
  readonly weight: number | null;
}

/** A rate constant with its unit, e.g. `1/s`. */
export interface RateConstant extends Estimate {
  readonly unit: string;
}

/** How one extent series moves. A failed fit is `model: null` with the reason. */
export interface Fit {
  readonly model: ModelName | null;
  readonly reason: string | null;
  readonly rateConstant: RateConstant | null;
  /** Extent approached by the first-order part, or the size of the burst for `burst-background`. */
  readonly amplitude: Estimate | null;
  readonly inductionS: Estimate | null;
  /** Slow rate beside a burst, extent per second. */
  readonly backgroundRate: Estimate | null;
  /** Extent per second at the beginning; averaged over models. Of a vial that did not move: 0, no `se`, and an upper limit only. */
  readonly initialRate: Estimate | null;
  /** Averaged over models. */
  readonly halfTimeS: TimeEstimate | null;
  readonly onsetS: TimeEstimate | null;
  /**
   * What each draw of the path's error, common to all vials, does to the rates and to the half-time, relative: it is in their
   * intervals, and cancels where two vials are compared. `null`: nothing known of it.
   */
  readonly pathRelative: { readonly rate: readonly number[]; readonly halfTime: readonly number[] } | null;
  readonly residualSd: number | null;
  /** Correlation of neighbouring residuals found, per typical frame gap; `null` unknown. */
  readonly autocorrelation: number | null;
  readonly aicc: number | null;
  readonly candidates: readonly Candidate[];
  /** Outlying frames given little weight. */
  readonly outliers: readonly number[];
  /** Averaged curve with a pointwise 95 % band, on its own time grid (seconds since dosing). */
  readonly curve: {
    readonly timeS: readonly number[];
    readonly extent: readonly number[];
    readonly lower: readonly number[];
    readonly upper: readonly number[];
  } | null;
}
