import type { Column, RegionColours } from '../model/measurement.ts';
import { channels, luminanceWeights } from './channels.ts';
import { median, robustSd } from './robust.ts';

export interface FramesToJudge {
  /** As read, over all decoded frames, in order of time. */
  readonly vials: readonly RegionColours[];
  readonly patches: readonly RegionColours[];
  /** Confidence of the camera's shift by frame, 0..1; `null` without anchors. */
  readonly motionConfidence: Column;
}

/** Share of the usual light below which a frame counts as dark. Chosen: lamps do not sag that far and cameras do not correct it. */
const darkShare = 0.15;
/** Saturation, (max - min) / max of linear R, G, B, below which nothing in the rack has a colour; and above which the run usually has. Chosen. */
const greyBelow = 0.06;
const colouredAbove = 0.25;
/** Confidence relative to the run's usual one below which the anchors count as lost. Chosen: fewer than two of five seen. */
const lostConfidence = 0.4;
/** How far outside its neighbours' range, in natural log of linear light, a region must be to count as disturbed. Chosen: 20 %, far above noise. */
const disturbance = 0.2;
/** Frames on either side that make up the neighbours. Chosen: a hand is away again within a few frames. */
const neighbours = 9;
/** Share of regions (and at least two) that must be disturbed at once. Chosen: one vial may boil over, two at once are a hand. */
const disturbedShare = 0.2;

/**
 * Finds frames that must not be used, each with its reason, `null` for a good frame: lights off, night mode without colour, anchors hidden, something before the rack.
 * A change that stays, or that lies between what was before and after, is never a reason: so a reacting vial is none, however quick.
 */
export function judgeFrames({ vials, patches, motionConfidence }: FramesToJudge): (string | null)[] {
  const regions = [...patches, ...vials];
  const frames = Math.max(0, ...regions.map((region) => region.green.length), motionConfidence.length);
  const usualConfidence = median(motionConfidence.filter((value) => value !== null));
  const light = (patches.length > 0 ? patches : vials).map(luminance);
  const usualLight = light.map((series) => median(series.filter((value) => value !== null)));
  const colour = saturation(vials, frames);
  const usualColour = median(colour.filter((value) => value !== null));
  const courses = regions.map((region) => channels.map((channel) => logarithm(region[channel])));

  return Array.from({ length: frames }, (_, frame) => {
    const shares = light.flatMap((series, index) =>
      (series[frame] ?? null) === null ? [] : [series[frame]! / usualLight[index]!],
    );
    if (regions.length > 0 && shares.length === 0) return 'no region could be read';
    if (shares.length > 0 && Math.max(...shares) < darkShare) return 'the light was off';
    const seen = colour[frame] ?? null;
    if (seen !== null && seen < greyBelow && usualColour > colouredAbove)
      return 'the picture has no colour (night mode)';
    const confidence = motionConfidence[frame] ?? null;
    if (confidence !== null && usualConfidence > 0 && confidence < lostConfidence * usualConfidence) {
      return 'the still parts of the picture were hidden or the camera was moving';
    }
    const undosed = regions.map((region) => paleThenColoured(region, frame));
    const disturbed = disturbedRegions(courses, frame, undosed);
    const covered = patches.filter((_, index) => disturbed[index]);
    const count = disturbed.filter(Boolean).length;
    if (count >= Math.max(2, disturbedShare * regions.length)) return `something was before ${count} of the regions`;
    if (covered.length > 0) return `neutral patch ${covered[0]!.id} was covered`;
    return null;
  });
}

function luminance(region: RegionColours): (number | null)[] {
  return region.green.map((_, frame) => {
    let sum = 0;
    for (const channel of channels) {
      const value = region[channel][frame] ?? null;
      if (value === null) return null;
      sum += luminanceWeights[channel] * value;
    }
    return sum;
  });
}

/** The most saturated vial of each frame; `null` where none is readable. */
function saturation(vials: readonly RegionColours[], frames: number): (number | null)[] {
  return Array.from({ length: frames }, (_, frame) => {
    let most: number | null = null;
    for (const vial of vials) {
      const values = channels.map((channel) => vial[channel][frame] ?? null);
      if (values.some((value) => value === null)) continue;
      const high = Math.max(...(values as number[]), 1e-3);
      most = Math.max(most ?? 0, (high - Math.max(0, Math.min(...(values as number[])))) / high);
    }
    return most;
  });
}

/**
 * Whether a region is pale in one of the first frames and coloured soon after: a vial that waits for its reagent, not one behind a hand.
 * Later in the run a vial has frames enough before dosing to show that the change stays.
 */
function paleThenColoured(region: RegionColours, frame: number): boolean {
  if (frame >= 2) return false;
  const now = saturation([region], frame + 1)[frame] ?? null;
  const later = saturation([region], frame + 1 + neighbours)
    .slice(frame + 1)
    .filter((value) => value !== null);
  return now !== null && now < colouredAbove && later.length > 0 && median(later) > 2 * colouredAbove;
}

/** Natural log of linear light; below 2 % of full scale noise would rule, so it is held there. */
const logarithm = (column: Column): (number | null)[] =>
  column.map((value) => (value === null ? null : Math.log(Math.max(0.02, value))));

/** Which regions lie outside what they show before and after, once the change common to all is taken off; never one of `apart`. */
function disturbedRegions(
  courses: readonly (readonly (number | null)[])[][],
  frame: number,
  apart: readonly boolean[],
): boolean[] {
  const excesses = courses.map((region, index) =>
    region.map((course) => (apart[index] === true ? null : outside(course, frame))),
  );
  const common = channels.map((_, channel) =>
    median(excesses.flatMap((region) => (region[channel] === null ? [] : [region[channel]!.value]))),
  );
  return excesses.map((region) =>
    region.some(
      (excess, channel) =>
        excess !== null && Math.abs(excess.value - common[channel]!) > Math.max(disturbance, 6 * excess.noise),
    ),
  );
}

/** Distance from the range spanned by the medians before and after, signed; 0 inside it. `null` at the ends of the run or where unknown. */
function outside(course: readonly (number | null)[], frame: number): { value: number; noise: number } | null {
  const now = course[frame] ?? null;
  const before = course.slice(Math.max(0, frame - neighbours), frame).filter((value) => value !== null);
  const after = course.slice(frame + 1, frame + 1 + neighbours).filter((value) => value !== null);
  if (now === null || before.length + after.length < 4) return null;
  const levels = [before, after].filter((side) => side.length >= 2).map(median);
  const low = Math.min(...levels);
  const high = Math.max(...levels);
  const noise = Math.max(0, ...[before, after].filter((side) => side.length >= 4).map(robustSd));
  return { value: now < low ? now - low : now > high ? now - high : 0, noise };
}
