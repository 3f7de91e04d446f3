import type { Lab } from '../colour/index.ts';

export type MatchRole = 'known' | 'sample' | 'blank';

/** One vial's colours, ready to be compared. */
export interface VialColour {
  readonly region: string;
  readonly label: string;
  readonly role: MatchRole;
  /** What joins vials into one unit: the identity of a known, the group of a sample (or its own name), `blank`. */
  readonly unit: string;
  /** Centre of its region as shares of the frame's width; `null`: not known. */
  readonly place: readonly [x: number, y: number] | null;
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
}

/** What is compared: colours at the reading time, or whole histories with one stretch of time allowed. */
export type View = 'final' | 'history';

/** Scatter of like vials in one view, in squared CIEDE2000: the yardstick. */
export interface Noise {
  /** Mean squared distance of a vial from the true colour of its liquid, all directions together. */
  readonly variance: number;
  /** Directions it is spread over, 1 (all vials differ along one line of colours) to 3 (every way alike). */
  readonly directions: number;
  /** Degrees of freedom between vials; 0: no replicates, `variance` is assumed. */
  readonly df: number;
  /** Variance that replicates side by side share, so that more of them do not lessen it: of the place in the picture. Squared CIEDE2000. */
  readonly placeVariance: number;
  /** The same between two runs; 0 within one. */
  readonly dayVariance: number;
  /** Whether the reading error was larger than the scatter of replicates and was taken instead. */
  readonly raised: boolean;
}

export interface Distance {
  readonly value: number;
  /** p of "no difference"; small: they differ. */
  readonly pDiffers: number;
  /** p of "at least the margin apart"; small: they agree. */
  readonly pAgrees: number;
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
  /** Time of the second unit runs this many times as fast as the first's. */
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
  /** Root-mean-square CIEDE2000 between two like vials; with the error from day to day where two runs are compared. */
  readonly likeVials: number;
  /** Below this a sample counts as agreeing with a known, CIEDE2000: twice `likeVials`, at least the floor of margin.ts. */
  readonly margin: number;
  /** The same between two knowns of one run. */
  readonly panelMargin: number;
}

export interface PanelMatch {
  readonly alpha: number;
  readonly units: readonly Unit[];
  readonly views: readonly ViewFacts[];
  readonly samples: readonly SampleAnswer[];
  /** Mutual distances of knowns and blank: what this panel can separate at all. */
  readonly panel: readonly Comparison[];
}
