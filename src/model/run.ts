import type { Rig } from './region.ts';

/** What a vial is in the experiment; see the glossary in DEVELOPERS.md. */
export type Role = 'blank' | 'positive' | 'negative' | 'standard' | 'mixture' | 'known' | 'sample';
export type Expectation = 'resists' | 'reacts';

/** A number with its standard uncertainty (`null`: not stated). */
export interface Quantity {
  readonly value: number;
  readonly u: number | null;
}

/** One vial of a run, in the order of the run file. */
export interface Vial {
  readonly region: string;
  readonly label: string;
  readonly role: Role;
  /** Run clock at which the reagent was added, seconds; `null`: to be found in the film. */
  readonly addedRunS: number | null;
  readonly expect: Expectation | null;
  /** Joins replicates into one sample; `null`: the vial stands alone. */
  readonly group: string | null;
  /** Only for `standard`: level of the spike, mol %. */
  readonly levelMolPercent: number | null;
  /** Only for `mixture`: the known extent. */
  readonly extent: number | null;
  /** Only for `known`: the identity used by match. */
  readonly identity: string | null;
  readonly sampleMl: Quantity | null;
  readonly sampleG: Quantity | null;
  readonly densityGMl: Quantity | null;
  readonly molarMassGMol: Quantity | null;
}

export interface ReagentRecipe {
  readonly salt: string;
  readonly saltG: Quantity;
  readonly waterMl: Quantity;
  readonly acidMl: Quantity;
  readonly acidPercent: Quantity;
}

/** Amounts put into each vial. */
export interface Dose {
  readonly reagent: ReagentRecipe;
  readonly reagentMl: Quantity;
  readonly sampleMl: Quantity | null;
  readonly sampleG: Quantity | null;
}

/** Something that happened at the bench at a known time; `region` null: to the whole rack. */
export interface RunEvent {
  readonly atRunS: number;
  readonly what: string;
  readonly region: string | null;
}

export interface SourcePart {
  /** Absolute path, glob or folder. */
  readonly file: string;
  /** Run clock of this part's first frame, seconds; `null`: follows the part before. */
  readonly startsRunS: number | null;
}

/** Exactly one way of giving frames their times. */
export type Timing =
  | { readonly kind: 'interval'; readonly intervalS: number }
  | { readonly kind: 'clock-exif'; readonly readings: readonly ClockReading[] }
  | { readonly kind: 'speed'; readonly speed: number };

/** A camera clock reading against a real clock, to correct a camera clock set wrong. */
export interface ClockReading {
  /** What the camera's clock showed, ISO 8601 without offset. */
  readonly camera: string;
  /** What a true clock showed at the same moment, ISO 8601 without offset. */
  readonly actual: string;
}

export type Transfer = 'srgb' | 'tagged' | 'bt709';

/** A run file, checked, completed with defaults, its paths absolute. */
export interface Run {
  readonly name: string;
  /** Absolute path of the run file. */
  readonly file: string;
  readonly rigFile: string;
  readonly rig: Rig;
  readonly source: readonly SourcePart[];
  readonly timing: Timing;
  /** Name as written, and the absolute path of its file. */
  readonly reaction: { readonly name: string; readonly file: string };
  /** `null`: no time was declared; the end of the run is used and the result says so. */
  readonly readAtS: number | null;
  /** Default 0.05. */
  readonly alpha: number;
  /** In extent; default 0.05. When given in mol % of sample it is turned into extent by the dose. */
  readonly margin: { readonly unit: 'extent' | 'mol-percent'; readonly value: number };
  readonly transfer: Transfer;
  readonly pathFile: string | null;
  readonly planFile: string | null;
  readonly temperatureFile: string | null;
  readonly events: readonly RunEvent[];
  /** Free text of the record, carried into the report as it is. */
  readonly record: Readonly<Record<string, string>>;
  readonly dose: Dose | null;
  readonly vials: readonly Vial[];
}
