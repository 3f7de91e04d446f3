import { hasMoved } from './rate-ratios.ts';
import { median } from '../numeric/median.ts';
import type { Situation } from './situation.ts';
import type { JudgedVial } from './types.ts';

/** Share of a vial's frames off the colour path from which it is worth a flag; chosen. */
export const offPathShare = 0.1;
/** Share of samples at a channel's limit from which the channel tells nothing; chosen. */
const clippedSamples = 0.5;
/** Share of frames with two such channels from which it is worth a flag; chosen. */
export const clippedShare = 0.1;
/** Fall of the meniscus, as a share of the region's height, that counts as evaporation; chosen: 5 % in concentration. */
export const sinkingShare = 0.05;
/** Frames that the fast part of a curve should have at least, and should better have; chosen. */
export const fewestFastFrames = 5;
const goodFastFrames = 12;

/** Share of the usable frames whose colour lies off the path. */
export function shareOffPath({ usable, series }: JudgedVial): number {
  if (usable.frame.length === 0) return 0;
  const off = usable.frame.filter((frame) => (series.flags[frame] ?? '').split(' ').includes('off-path'));
  return off.length / usable.frame.length;
}

/**
 * Share of the usable frames in which two of three channels are at their limits. One alone is usual: orange dichromate has no blue
 * that a camera's colour space can show.
 */
export function shareClipped({ input }: Situation, judged: JudgedVial): number {
  const colours = input.measurement.vials[judged.index];
  if (colours === undefined || judged.usable.frame.length === 0) return 0;
  const channels = [colours.redClipped, colours.greenClipped, colours.blueClipped];
  const clipped = judged.usable.frame.filter(
    (frame) => channels.filter((channel) => (channel[frame] ?? 0) > clippedSamples).length >= 2,
  );
  return clipped.length / judged.usable.frame.length;
}

/** Fall of the meniscus over the run as a share of the region's height; `null` where it is not seen. */
export function meniscusFall({ input }: Situation, judged: JudgedVial): number | null {
  const rows = input.measurement.vials[judged.index]?.meniscusY;
  const height = regionHeight(input.run.rig.regions.find(({ id }) => id === judged.vial.region));
  if (rows === undefined || height === null) return null;
  const seen = judged.usable.frame.flatMap((frame) => {
    const row = rows[frame];
    return row === null || row === undefined ? [] : [row];
  });
  const span = Math.floor(seen.length / 5);
  if (span < 3) return null;
  return (median(seen.slice(-span))! - median(seen.slice(0, span))!) / height;
}

type Shape = Situation['input']['run']['rig']['regions'][number];

function regionHeight(region: Shape | undefined): number | null {
  if (region === undefined) return null;
  if (region.shape === 'rect') return region.height;
  if (region.shape === 'ellipse') return 2 * region.ry;
  const rows = region.points.map((point) => point[1]);
  return Math.max(...rows) - Math.min(...rows);
}

/** The steep part of a vial's curve, between a tenth and nine tenths of its change. */
export interface FastPart {
  /** Frames that show it, and the interval that would give enough. */
  readonly frames: number;
  readonly betterIntervalS: number;
  /** It had begun before the film did: no interval would have shown that. */
  readonly beforeFilm: boolean;
}

/** How well the fast part of a vial that moved was seen; `null`: did not move. */
export function fastPart(judged: JudgedVial): FastPart | null {
  if (!hasMoved(judged)) return null;
  const { extent, timeS } = judged.usable;
  const from = judged.series.extent.some((value, i) => value !== null && judged.series.timeS[i]! < 0)
    ? extent[0]!
    : Math.min(0, extent[0]!);
  const to = judged.last!.value;
  const inside = (share: number): number => from + share * (to - from);
  const frames = extent.filter((value) => value > inside(0.1) && value < inside(0.9)).length;
  const start = timeS.find((_, i) => extent[i]! > inside(0.1)) ?? timeS[0]!;
  const end = timeS.find((_, i) => extent[i]! >= inside(0.9)) ?? timeS.at(-1)!;
  // With hardly a frame inside, the time up to the first turned frame is all that is known of the duration.
  const durationS = frames >= 2 ? end - start : Math.max(end, end - start);
  const beforeFilm = judged.series.addedRunS < 0 && extent[0]! > inside(0.1);
  return { frames, betterIntervalS: durationS / goodFastFrames, beforeFilm };
}
