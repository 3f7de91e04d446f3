import type { RegionColours } from '../model/measurement.ts';
import { channels, luminanceWeights } from './channels.ts';
import { medianOfAll } from '../numeric/median.ts';

/** What is looked at of a region: linear light of the three channels. */
export type RegionLevels = Pick<RegionColours, 'id' | 'red' | 'green' | 'blue'>;

/** Saturation, (max - min) / max of linear R, G, B, above which a liquid has a colour. Chosen: an empty vial before a card under a warm lamp has 0.2. */
export const colouredAbove = 0.25;
/** How far a still vial's levels may wander over the run, natural log of linear light. Chosen: lamps drift by less, what reacts changes by more. */
const stillWithin = 0.2;
/** Frames in which a vial counts as young, and frames that a level is taken from. Chosen: as the neighbours of a frame. */
export const youngFrames = 9;

/** Saturation of a region in one frame, 0..1; `null` where a channel is unknown. */
export function saturationAt(region: RegionLevels, frame: number): number | null {
  const red = region.red[frame] ?? null;
  const green = region.green[frame] ?? null;
  const blue = region.blue[frame] ?? null;
  if (red === null || green === null || blue === null) return null;
  const high = Math.max(red, green, blue, 1e-3);
  return (high - Math.max(0, Math.min(red, green, blue))) / high;
}

/** Natural log of linear light; below 2 % of full scale noise would rule, so it is held there. */
export const logOfLight = (value: number): number => Math.log(Math.max(0.02, value));

/**
 * The colours (log of R, G, B) of the vials that hold their colour over the whole run: what fresh reagent looks like in this rack.
 * One entry a vial, from its first coloured frames; none where every vial reacts.
 */
export function freshColours(vials: readonly RegionLevels[]): readonly (readonly number[])[] {
  return vials.flatMap((vial) => {
    const coloured = vial.green.flatMap((_, frame) =>
      (saturationAt(vial, frame) ?? 0) > colouredAbove ? [frame] : [],
    );
    if (coloured.length < 2 * youngFrames) return [];
    const third = Math.ceil(coloured.length / 3);
    const level = (frames: readonly number[]): number[] =>
      channels.map((channel) => medianOfAll(frames.map((frame) => logOfLight(vial[channel][frame]!))));
    const parts = [0, 1, 2].map((part) => level(coloured.slice(part * third, (part + 1) * third)));
    const still = channels.every((_, channel) => {
      const levels = parts.map((part) => part[channel]!);
      return Math.max(...levels) - Math.min(...levels) < stillWithin;
    });
    return still ? [level(coloured.slice(0, youngFrames))] : [];
  });
}

/** Whether the run, or the liquid of this vial, began within the last few frames. */
export function isYoung(region: RegionLevels, frame: number): boolean {
  if (frame < youngFrames) return true;
  for (let at = frame - youngFrames; at < frame; at += 1) {
    const seen = saturationAt(region, at);
    if (seen !== null && seen < colouredAbove) return true;
  }
  return false;
}

/**
 * Whether a region is pale and coloured soon after, and lost luminance by it: a vial that waits for its reagent, as no coloured liquid is
 * lighter than the card seen through the empty glass. A dark glove is pale too, and is told by that. Luminance, not every channel: an orange
 * may have more red than a grey card, as cameras stretch colours.
 */
export function waitsForReagent(region: RegionLevels, frame: number): boolean {
  const now = saturationAt(region, frame);
  if (now === null || now >= colouredAbove) return false;
  const later = Array.from({ length: youngFrames }, (_, index) => frame + 1 + index).filter(
    (at) => (saturationAt(region, at) ?? 0) > colouredAbove,
  );
  if (later.length <= youngFrames / 2) return false;
  return luminanceLog(region, frame) > medianOfAll(later.map((at) => luminanceLog(region, at))) - stillWithin;
}

/** Natural log of a region's luminance in a frame in which all channels are known. */
const luminanceLog = (region: RegionLevels, frame: number): number =>
  logOfLight(channels.reduce((sum, channel) => sum + luminanceWeights[channel] * region[channel][frame]!, 0));
