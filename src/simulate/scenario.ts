import type { Role, Expectation } from '../model/run.ts';
import type { BandChange, CameraShape, Matrix3, Triple } from '../spectra/index.ts';

/** How a vial's extent moves; constants in 1/s, extents 0..1, times in s since dosing. See extent-course.ts for the formulas. */
export type Kinetics =
  | { readonly model: 'none' }
  | { readonly model: 'constant'; readonly extent: number }
  | { readonly model: 'zero-order'; readonly rate: number }
  | { readonly model: 'first-order'; readonly k: number; readonly amplitude: number; readonly background: number }
  | {
      readonly model: 'first-order-induction';
      readonly k: number;
      readonly amplitude: number;
      readonly inductionS: number;
    }
  | { readonly model: 'burst-background'; readonly k: number; readonly amplitude: number; readonly background: number }
  | { readonly model: 'consecutive'; readonly k1: number; readonly k2: number; readonly amplitude: number }
  | { readonly model: 'sigmoid'; readonly k: number; readonly middleS: number; readonly amplitude: number }
  | { readonly model: 'second-order'; readonly k: number; readonly amplitude: number }
  /** Not of chromium: an invented dye that turns from one colour (`#rrggbb`, about as seen) to another, first order. For colour tests without known chemistry. */
  | { readonly model: 'colours'; readonly from: string; readonly to: string; readonly k: number };

export interface ScenarioVial {
  readonly label: string;
  readonly role: Role;
  /** Negative: dosed before the film began. */
  readonly addedRunS: number;
  readonly kinetics: Kinetics;
  readonly expect: Expectation | null;
  readonly group: string | null;
  readonly levelMolPercent: number | null;
  readonly identity: string | null;
  readonly sampleMl: number | null;
  readonly densityGMl: number | null;
  readonly molarMassGMol: number | null;
  /** A colourless upper layer: its share of the liquid's height and the reagent's strength in it (0..1). */
  readonly layer: { readonly upperShare: number; readonly upperStrength: number } | null;
  /** Brown turbidity that sets in `fromS` after dosing: off the colour path. Absorbance per cm at 500 nm. */
  readonly precipitate: { readonly fromS: number; readonly absorbancePerCm: number } | null;
  /** Loss of liquid level, cm/h; the solution grows stronger as it sinks. */
  readonly evaporationCmH: number;
  /** Lifted, turned or pushed at a run time: from then on the light behind it is multiplied, and its liquid stands lower in the picture. */
  readonly moved: { readonly atRunS: number; readonly brightness: number; readonly downCm: number } | null;
}

export type LampSpec =
  | {
      readonly kind: 'led';
      readonly bluePeakNm: number;
      readonly blueWidthNm: number;
      readonly phosphorPeakNm: number;
      readonly phosphorWidthNm: number;
      readonly blueHeight: number;
    }
  | { readonly kind: 'blackbody'; readonly kelvin: number }
  | { readonly kind: 'daylight' };

export interface Scenario {
  readonly name: string;
  readonly seed: string;
  readonly frame: { readonly width: number; readonly height: number };
  readonly frameCount: number;
  readonly intervalS: number;
  readonly media: {
    readonly kind: 'h264' | 'jpeg' | 'png';
    /** H.264 constant rate factor. */
    readonly crf: number;
    readonly framesPerSecond: number;
    /** JPEG quality 1..100. */
    readonly quality: number;
    /** Camera clock of the first still, ISO 8601 without offset. */
    readonly startedAt: string;
  };
  readonly reading: { readonly readAtS: number | null; readonly margin: number; readonly alpha: number };
  readonly lamp: LampSpec;
  readonly light: {
    /** Relative change of brightness from first to last frame, with a slow swing of a third of it on top. */
    readonly drift: number;
    /** Relative change of red against blue over the run. */
    readonly colourDrift: number;
    /** Standard deviation of brightness from frame to frame, relative. */
    readonly flicker: number;
  };
  readonly camera: {
    readonly shape: CameraShape;
    /** Colour matrix: fitted for this lamp, fitted for daylight (as a fixed profile would be), or given. */
    readonly matrix: 'lamp' | 'daylight' | Matrix3;
    /** Linear value of a perfect white in the middle of the picture. */
    readonly exposure: number;
    /** Static white-balance error, multipliers of linear R, G, B. */
    readonly whiteBalance: Triple;
    /** Loss of light in the corners, 0..1. */
    readonly vignetting: number;
    /** Stray light as a share of white, added everywhere. */
    readonly flare: number;
    /** Standard deviation of a black pixel, linear. */
    readonly readNoise: number;
    /** Variance of a pixel per unit of linear signal. */
    readonly shotNoise: number;
    /** 0: plain sRGB curve; 1: strong contrast curve on top. */
    readonly tone: number;
    /** Power laid over the encoded picture after that: 1 none, below 1 lifts the dark parts. */
    readonly toneGamma: number;
  };
  readonly chemistry: {
    readonly reagent: {
      readonly salt: string;
      readonly saltG: number;
      readonly waterMl: number;
      readonly acidMl: number;
      readonly acidPercent: number;
    };
    readonly reagentMl: number;
    readonly sampleMl: number;
    readonly densityGMl: number | null;
    readonly molarMassGMol: number | null;
    /** Departure of the true bands from the assumed ones. */
    readonly chromate: BandChange;
    readonly chromium: BandChange;
    /** Share of Cr(III) in the sulfato form when made, later, and the time constant of that ageing. */
    readonly sulfato: { readonly start: number; readonly end: number; readonly timeS: number };
    /** A coloured intermediate, proportional to extent (1 - extent): its absorption band per Cr; `null` none. */
    readonly intermediate: { readonly centreNm: number; readonly widthNm: number; readonly epsilon: number } | null;
  };
  readonly rack: {
    readonly rows: number;
    readonly columns: number;
    readonly innerDiameterCm: number;
    readonly wallCm: number;
    readonly heightCm: number;
    /** Brightness of the reflection stripe, linear. */
    readonly glare: number;
    /** Relative depth of the backing card's texture. */
    readonly texture: number;
    readonly patches: boolean;
    /** A printed colour chart below the patches. */
    readonly chart: boolean;
  };
  /** Standard deviations between vials, relative. */
  readonly spread: { readonly brightness: number; readonly path: number; readonly rate: number };
  readonly disturbances: {
    /** Where the camera stands from a time on, pixels; with a turn and a zoom about the picture's middle where given. */
    readonly moves: readonly {
      readonly atRunS: number;
      readonly dx: number;
      readonly dy: number;
      readonly rotationDeg?: number | undefined;
      readonly scale?: number | undefined;
    }[];
    readonly gainSteps: readonly { readonly atRunS: number; readonly gains: Triple }[];
    readonly blocked: readonly { readonly fromRunS: number; readonly toRunS: number }[];
  };
  /** Filled row by row: A1, A2, ... */
  readonly vials: readonly ScenarioVial[];
}
