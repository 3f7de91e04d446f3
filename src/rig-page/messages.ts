import type { Point, Region } from '../model/region.ts';

/** A value as it stands in a JSON or YAML file. */
export type Plain = string | number | boolean | null | readonly Plain[] | { readonly [key: string]: Plain };
export type PlainObject = { readonly [key: string]: Plain };

/** What the page is told about the film or the folder of stills. */
export interface SourceFacts {
  /** File name to show. */
  readonly name: string;
  readonly kind: 'video' | 'stills';
  /** Upright frame, pixels. */
  readonly width: number;
  readonly height: number;
  /** Number of frames, at least 1. */
  readonly frames: number;
  /** Pixels along one side of a sample of the analysis: 2 where the film keeps one colour for 2 x 2 pixels. */
  readonly sampleSide: 1 | 2;
  /** What the film's own tag says its curve is, as `model/frame.ts` has it; `null`: nothing. */
  readonly transferTag: string | null;
  /** Playback time of a film's last frame, seconds; `null` for stills or when unknown. */
  readonly playbackS: number | null;
  /** Time from the first still to the last by the camera's clock, seconds; `null` without usable times. */
  readonly clockLengthS: number | null;
  readonly notes: readonly string[];
}

/** Everything the page needs to start. */
export interface Start {
  readonly source: SourceFacts;
  /** Names of the files that will be written, as shown to the user. */
  readonly files: { readonly rig: string; readonly run: string };
  /** `source` and `rig` as a run file in that folder names them. */
  readonly references: { readonly source: string; readonly rig: string };
  /** What was there already, as it stands in the files; `null`: nothing. */
  readonly rig: PlainObject | null;
  readonly run: PlainObject | null;
  readonly reactions: readonly { readonly name: string; readonly title: string }[];
  /** Whether to look for vials at once. */
  readonly find: boolean;
}

/** What the analysis would see of one region in one frame; `null` where there are too few pixels. */
export interface Reading {
  readonly id: string;
  /** Encoded sRGB of the robust colour, `#rrggbb`; `null`: unreadable. */
  readonly colour: string | null;
  readonly hueDeg: number | null;
  readonly chroma: number | null;
  readonly lightness: number | null;
  /** Samples the colour rests on, of `sampleSide` x `sampleSide` pixels. */
  readonly samples: number;
  /** Glare was told from this frame alone, because the frames spread over the run were not there yet. */
  readonly provisional: boolean;
  /** Share left out as glare, edge or meniscus, 0..1. */
  readonly leftOut: number | null;
  /** Largest share of samples at the upper limit of any channel, 0..1. */
  readonly clipped: number | null;
  /** OKLab distance between upper and lower half. */
  readonly halvesDeltaE: number | null;
  /** OKLab distance of the left and right edge strip from the middle. */
  readonly edgesDeltaE: { readonly left: number | null; readonly right: number | null };
}

/** A region's colour over the run; `null` where unreadable. */
export interface Strip {
  readonly id: string;
  readonly colours: readonly (string | null)[];
  /** Whether the vial is seen turning reagent-coloured, holds reagent from the start, or never does. */
  readonly dosing: 'found' | 'before-first-frame' | 'not-seen';
}

/** Regions that finding proposes; taken only when the user says so. */
export interface Proposals {
  readonly regions: readonly Region[];
  readonly white: readonly Region[];
  /** Those of them that only the regular rows told of: to be looked at first. */
  readonly filled: readonly string[];
  /** 0..1 for the rack as a whole. */
  readonly confidence: number;
  /** Frame in which most of what was found can be seen. */
  readonly frame: number;
}

/** The two files as the page would have them written. */
export interface SaveRequest {
  readonly rig: PlainObject;
  readonly run: PlainObject;
  /** File name beside rig.json. */
  readonly runFile: string;
  /** Frame shown, for the thumbnail. */
  readonly frame: number;
  /** The user has seen that these files exist and asked to replace them (the old ones are kept). */
  readonly replace: boolean;
}

/** One thing wrong with the files, with the place to show it beside. */
export interface Problem {
  readonly file: 'rig' | 'run';
  /** Key path such as `vials[2].role`; `null`: the file as a whole. */
  readonly key: string | null;
  readonly message: string;
}

export type SaveAnswer =
  | {
      readonly kind: 'saved';
      readonly written: readonly string[];
      readonly kept: readonly string[];
      readonly next: string;
    }
  | { readonly kind: 'exists'; readonly files: readonly string[] }
  | { readonly kind: 'problems'; readonly problems: readonly Problem[] };

export interface ChartDraft {
  readonly rows: number;
  readonly columns: number;
  readonly corners: readonly [Point, Point, Point, Point];
  readonly values: string;
}
