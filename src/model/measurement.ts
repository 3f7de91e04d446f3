import type { Backdrop } from './backdrop.ts';
import type { ChartReport } from './chart.ts';
import type { SourceInfo } from './frame.ts';
import type { Shift } from './shift.ts';

/** Columns over the frames that were used; `null` = unknown in that frame. */
export type Column = readonly (number | null)[];

/**
 * One region's colour over the used frames. Linear light of the sRGB primaries, relative to the neutral patches
 * (patch = its first-frames level) or, without patches, to full scale; 0..1 nominal, slightly negative possible.
 */
export interface RegionColours {
  readonly id: string;
  readonly kind: 'vial' | 'white';
  readonly red: Column;
  readonly green: Column;
  readonly blue: Column;
  /** Standard errors of the robust colour from pixel scatter (temporal noise included, lamp not). */
  readonly redSe: Column;
  readonly greenSe: Column;
  readonly blueSe: Column;
  /** Share of the region's samples with that channel at the lower (<= 0.4 % of full scale) or upper limit, 0..1. */
  readonly redClipped: Column;
  readonly greenClipped: Column;
  readonly blueClipped: Column;
  /** Share of samples left out as glare, edge or meniscus, 0..1. */
  readonly leftOut: Column;
  /** Number of samples the colour rests on. */
  readonly samples: Column;
  /** OKLab distance between the upper and lower half of what is measured, or from a coloured layer that the mask leaves out, if more (two layers, settling). */
  readonly halvesDeltaE: Column;
  /** Robust scatter of OKLab lightness inside the region (bubbles, precipitate). */
  readonly texture: Column;
  /** Row of the meniscus in frame pixels where seen. */
  readonly meniscusY: Column;
}

/** Per-frame motion against the first used frame (or the rig's thumbnail), frame pixels and radians. */
export interface MotionColumns {
  readonly dx: Column;
  readonly dy: Column;
  readonly rotation: Column;
  readonly scale: Column;
}

/** Light correction that was applied to every region, per frame: multipliers of linear R, G, B. */
export interface LightCorrection {
  readonly basis: 'patches' | 'background' | 'none';
  readonly redGain: Column;
  readonly greenGain: Column;
  readonly blueGain: Column;
  /** Standard error of a gain, relative; common to all vials of a frame. */
  readonly gainSe: Column;
  /** Largest relative change of a gain over the run. */
  readonly driftRange: number | null;
  /** Largest lasting difference between what two references changed by, relative; and what of it a plane over the frame leaves. `null`: too few references. */
  readonly unevenness?: number | null | undefined;
  readonly uncorrectedUnevenness?: number | null | undefined;
  /** What stills tell of exposure and white balance. */
  readonly settings?: 'locked' | 'automatic' | 'unknown' | undefined;
}

/** A step, drift or disturbance seen while measuring, in the words of a check. */
export interface MeasurementNote {
  readonly code: string;
  readonly severity: 'info' | 'warn' | 'fail';
  readonly message: string;
  readonly fromRunS: number | null;
  readonly toRunS: number | null;
  readonly region: string | null;
}

export interface Still {
  readonly frame: number;
  readonly timeRunS: number;
  readonly width: number;
  readonly height: number;
  /** JPEG as base64 without prefix. */
  readonly jpegBase64: string;
  /** Where the places of the rig file lie in it, pixels of the whole frame; left out: where the file has them. */
  readonly shift?: Shift | undefined;
}

/**
 * All that the slow half hands to the quick half; kept in `.vialapse/<key>/measurement.bin`.
 * Roles, labels, margins and reading times are not part of it, so that they can change without a new measurement.
 */
export interface Measurement {
  readonly schema: 'vialapse/measurement@1';
  readonly source: SourceInfo;
  readonly glance: boolean;
  /** Frames used, in order of time. */
  readonly frames: { readonly index: readonly number[]; readonly timeRunS: readonly number[] };
  readonly framesRead: number;
  readonly rejected: readonly { readonly index: number; readonly timeRunS: number | null; readonly reason: string }[];
  readonly vials: readonly RegionColours[];
  readonly patches: readonly RegionColours[];
  readonly motion: MotionColumns;
  readonly light: LightCorrection;
  readonly notes: readonly MeasurementNote[];
  /** What became of the rig's colour chart; left out or `null`: it has none. */
  readonly chart?: ChartReport | null | undefined;
  /** How light falls off over the frame; left out or `null`: no even backdrop was seen beside the vials. */
  readonly backdrop?: Backdrop | null | undefined;
  /** A handful of small pictures over the run for the report. */
  readonly stills: readonly Still[];
}
