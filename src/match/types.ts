import type { Lab } from '../colour/index.ts';

export type MatchRole = 'known' | 'sample' | 'blank';

export type Vector3 = readonly [number, number, number];
export type Square3 = readonly [Vector3, Vector3, Vector3];

/** One vial's colours, ready to be compared. */
export interface VialColour {
  readonly region: string;
  readonly label: string;
  readonly role: MatchRole;
  /** What joins vials into one unit: the identity of a known, the group of a sample (or its own name), `blank`. */
  readonly unit: string;
  /** Centre of its region from the frame's centre, half a diagonal of the frame = 1; `null`: not known. */
  readonly place: readonly [x: number, y: number] | null;
  /** Vials of one picture share its light. */
  readonly picture: 'own' | 'other';
  /** Colour at the reading time; CIELAB (D65), relative to the neutral patch where there is one. */
  readonly final: Lab;
  /** Colour at equal steps from dosing to the reading time; `null`: a single picture, or too many gaps. */
  readonly history: readonly Lab[] | null;
  /** Least error of `final` from frame noise and the halves of the region, CIEDE2000: a lower bound, never the noise itself. */
  readonly readingError: number;
  /** Channels at the sensor's limit at the reading time: differences there cannot be seen. */
  readonly clipped: readonly string[];
}

/** All vials of one liquid: the thing that is compared. */
export interface Unit {
  readonly name: string;
  readonly role: MatchRole;
  readonly vials: readonly VialColour[];
  readonly final: Lab;
  readonly history: readonly Lab[] | null;
  /** Where its vials stand on average, in the terms of place-light.ts, and how well the light there is known. */
  readonly light: { readonly picture: VialColour['picture']; readonly terms: Vector3; readonly covariance: Square3 };
}

/** What is compared: colours at the reading time, or whole histories with one stretch of time allowed. */
export type View = 'final' | 'history';

/** Scatter of like vials in one view: the yardstick. Light that the place explains is taken out before. */
export interface Noise {
  /**
   * Mean squared distance of a vial from the true colour of its liquid, all directions together, as a multiple of what its colour
   * makes of a relative error of 1 in light and depth (sensitivity.ts); no unit.
   */
  readonly variance: number;
  /** Least variance of any vial from frame noise and the halves of the regions, squared CIEDE2000. */
  readonly floor: number;
  /** Directions it is spread over, 1 (all vials differ along one line of colours) to 3 (every way alike). */
  readonly directions: number;
  /** Degrees of freedom between vials; 0: no replicates, `variance` is assumed. */
  readonly df: number;
  /** Variance of log brightness that replicates side by side share and that no tilt or fall-off explains. */
  readonly restVariance: number;
  /** Variance that all vials of another run share, squared CIEDE2000; 0 within one run. */
  readonly dayVariance: number;
}

export interface Distance {
  readonly value: number;
  /** p of "no difference"; small: they differ. */
  readonly pDiffers: number;
  /** p of "at least the margin apart"; small: they agree. */
  readonly pAgrees: number;
  /** Below this the two count as agreeing, CIEDE2000: twice the distance of like vials of these colours. */
  readonly margin: number;
}

export type Verdict = 'agrees' | 'differs' | 'cannot tell';

/** Two units compared. */
export interface Comparison {
  readonly first: string;
  readonly second: string;
  readonly verdict: Verdict;
  readonly reason: string;
  readonly final: Distance;
  readonly history: Distance | null;
  /** Distance of the histories on one clock, without stretch. */
  readonly historyUnstretched: number | null;
  /** The second unit needs this many times the first's time for the same colours; below 1 it is the quicker one. */
  readonly stretch: number | null;
  /** Channels cut off in both: what agrees there may still differ. */
  readonly clipped: readonly string[];
}

export interface SampleAnswer {
  readonly unit: string;
  readonly answer: 'agrees with one' | 'agrees with several' | 'like none' | 'cannot tell';
  readonly agreesWith: readonly string[];
  readonly notRuledOut: readonly string[];
  readonly reason: string;
  readonly against: readonly Comparison[];
}

export interface ViewFacts {
  readonly view: View;
  readonly noise: Noise;
  /** Root-mean-square CIEDE2000 between two like vials, over all liquids; without the error from day to day. */
  readonly likeVials: number;
  /** Whether the reading error was larger than the scatter of replicates and was taken instead, for the typical liquid. */
  readonly raised: boolean;
}

export interface PanelMatch {
  readonly alpha: number;
  readonly units: readonly Unit[];
  readonly views: readonly ViewFacts[];
  readonly samples: readonly SampleAnswer[];
  /** Mutual distances of knowns and blank: what this panel can separate at all. */
  readonly panel: readonly Comparison[];
}
