import type { Analysis } from '../model/analysis.ts';
import type { VialAmounts } from '../model/dose-facts.ts';
import type { Estimate } from '../model/estimate.ts';
import type { ColourPath, ExtentSeries } from '../model/extent.ts';
import type { Fit } from '../model/fit.ts';
import type { Measurement } from '../model/measurement.ts';
import type { Result, ResultAtTemperature, ResultCheck, ResultFlag, ResultSample } from '../model/result.ts';
import type { Run, Vial } from '../model/run.ts';

/** Between-vial standard deviation of extent, with degrees of freedom and where it comes from. */
export interface Spread {
  readonly value: number;
  readonly df: number;
  readonly source: string;
}

/** Temperature from a probe, degrees Celsius, on the run's clock. */
export interface TemperatureColumns {
  readonly runS: readonly number[];
  readonly temperatureC: readonly number[];
}

/** All that judging rests on. Arrays over vials are in the order of `run.vials`. */
export interface JudgeInput {
  readonly run: Run;
  readonly measurement: Measurement;
  readonly path: ColourPath;
  readonly series: readonly ExtentSeries[];
  readonly fits: readonly Fit[];
  readonly amounts: readonly VialAmounts[];
  /** Electrons per mole of reagent atom (3 for Cr(VI)); `null` unknown. */
  readonly electronsPerReagent: number | null;
  /** Between-vial spread from earlier runs of this rig; used from 6 degrees of freedom on. */
  readonly history: Spread | null;
  /** Run clock after which frames are ignored, seconds; `null`: use all. */
  readonly untilS: number | null;
  readonly temperature: TemperatureColumns | null;
}

export interface JudgeOutput {
  /** Seconds since each vial's dosing at which samples are compared. */
  readonly readAtS: number;
  readonly readAtDeclared: boolean;
  /** Margin in extent. */
  readonly marginExtent: number;
  readonly betweenVialSd: Spread | null;
  /** Extent at the reading time and at the last frame, in the order of `run.vials`; errors of all kinds are in `se`. */
  readonly atRead: readonly (Estimate | null)[];
  readonly last: readonly (Estimate | null)[];
  readonly vialFlags: readonly (readonly ResultFlag[])[];
  /** Rates at the reference temperature; `null` without a probe or without a rate. */
  readonly atReferenceTemperature: readonly (ResultAtTemperature | null)[];
  readonly samples: readonly ResultSample[];
  readonly references: Result['references'];
  readonly readingWindow: Result['reading_window'];
  readonly checks: readonly ResultCheck[];
  readonly assumptions: readonly string[];
  readonly negativeBand: Analysis['negativeBand'];
}

/** One vial's usable values: after dosing, before anything that ends its curve, unknown frames left out. */
export interface UsableSeries {
  readonly timeS: readonly number[];
  readonly extent: readonly number[];
  readonly se: readonly number[];
  /** Positions in the full series (and in Measurement.frames) of the values. */
  readonly frame: readonly number[];
}

/** Extent at one time, its kinds of error kept apart. */
export interface Reading {
  readonly timeS: number;
  readonly value: number;
  /** Standard error independent between vials and frames. */
  readonly frameSe: number;
  /** Standard error constant over this vial's run; `null` unknown. */
  readonly vialSe: number | null;
  /** Error of this reading under each plausible colour path; common to all vials. */
  readonly pathShift: readonly number[];
}

export type NotRead = 'stopped-early' | 'ended' | 'gap' | 'unreadable';

/** Why a vial's colour at the reading time is no measure of its reaction. */
export interface Trouble {
  readonly code: 'two-layers' | 'own-path' | 'off-path';
  /** For a reader, without capital or full stop. */
  readonly sentence: string;
  /** Whether the vial had turned beyond doubt before. */
  readonly turnedBefore: boolean;
}

/** A moment at which one vial alone looks moved, lifted or turned. */
export interface VialMove {
  readonly kind: 'brightness' | 'meniscus';
  /** First frame after it (position in Measurement.frames), and its run clock. */
  readonly frame: number;
  readonly atRunS: number;
  /** Relative change of brightness, or pixels the meniscus went down. */
  readonly size: number;
}

/** One vial as the judge sees it. */
export interface JudgedVial {
  readonly index: number;
  readonly vial: Vial;
  readonly series: ExtentSeries;
  readonly fit: Fit;
  readonly usable: UsableSeries;
  /** Run clock of the event that ended the curve; `null`: none. */
  readonly endedBy: { readonly atRunS: number; readonly what: string } | null;
  readonly atRead: Reading | null;
  readonly notRead: NotRead | null;
  readonly trouble: Trouble | null;
  readonly move: VialMove | null;
  readonly last: Reading | null;
}
