import type { Column, RegionColours } from '../model/measurement.ts';
import { channels, luminanceWeights } from './channels.ts';
import { median, robustSd } from './robust.ts';

/** What is looked at of a region: linear light of the three channels. */
export type RegionLevels = Pick<RegionColours, 'id' | 'red' | 'green' | 'blue'>;

export interface FramesToJudge {
  /** As read, over all decoded frames, in order of time. */
  readonly vials: readonly RegionLevels[];
  readonly patches: readonly RegionLevels[];
  /** Confidence of the camera's shift by frame, 0..1; `null` without anchors. */
  readonly motionConfidence: Column;
  /** Detail of the still parts of the picture, any unit; left out: not known. */
  readonly sharpness?: Column;
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
/** Share of the detail seen before and after below which the picture is blurred. Chosen: a coder's key frames differ by a fifth. */
const blurredShare = 0.6;
/** Frames on either side that make up the neighbours. Chosen: a hand is away again within a few frames. */
const neighbours = 9;
/** Of these, the ones that show where a side leads at an end of the run. Chosen: a third. */
const nearCount = 3;
/** Times the neighbours are chosen anew. Chosen: a hand of a few frames needs two or three. */
const rounds = 8;
/** Share of regions (and at least two) that must be disturbed at once. Chosen: one vial may boil over, two at once are a hand. */
const disturbedShare = 0.2;

/**
 * Finds frames that must not be used, each with its reason, `null` for a good frame: lights off, night mode without colour, anchors hidden, something before the rack, out of focus.
 * A change that stays, or that lies between what was before and after, is never a reason: so a reacting vial is none, however quick.
 */
export function judgeFrames({ vials, patches, motionConfidence, sharpness = [] }: FramesToJudge): (string | null)[] {
  const regions = [...patches, ...vials];
  const frames = Math.max(0, ...regions.map((region) => region.green.length), motionConfidence.length);
  const usualConfidence = median(motionConfidence.filter((value) => value !== null));
  const light = (patches.length > 0 ? patches : vials).map(luminance);
  const usualLight = light.map((series) => median(series.filter((value) => value !== null)));
  const colour = saturation(vials, frames);
  const usualColour = median(colour.filter((value) => value !== null));
  const alone = Array.from({ length: frames }, (_, frame): string | null => {
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
    return null;
  });
  // Bad frames are no neighbours to judge by, and a hand that stays for some frames is found from its edge inwards.
  let reasons = alone;
  for (let round = 0; round < rounds; round += 1) {
    const found = byNeighbours(regions, patches, sharpness, reasons);
    const next = alone.map((reason, frame) => reason ?? found[frame]!);
    if (next.every((reason, frame) => reason === reasons[frame])) break;
    reasons = next;
  }
  return reasons;
}

/** Reasons of frames that stand out from those around them, `reasons` being what is known of all so far. */
function byNeighbours(
  regions: readonly RegionLevels[],
  patches: readonly RegionLevels[],
  sharpness: Column,
  reasons: readonly (string | null)[],
): (string | null)[] {
  const usable = reasons.map((reason) => reason === null);
  const courses = regions.map((region) =>
    channels.map((channel) => ({
      values: logarithm(region[channel]),
      usable,
      // Nothing turns in a patch: at the ends of the run it may not lead away from what is seen beside it.
      turns: !patches.includes(region),
    })),
  );
  const still = { values: sharpness.map((value) => (value === null ? null : Math.log(value))), usable, turns: false };
  return reasons.map((_, frame) => {
    // Blur carries the surroundings' light into the regions too; a hand before most anchors was told above.
    const detail = outside(still, frame);
    if (detail !== null && detail.value < Math.log(blurredShare)) return 'the picture was out of focus or misted over';
    const undosed = regions.map((region) => paleThenColoured(region, frame));
    const disturbed = disturbedRegions(courses, frame, undosed);
    const covered = patches.filter((_, index) => disturbed[index]);
    const count = disturbed.filter(Boolean).length;
    if (count >= Math.max(2, disturbedShare * regions.length)) return `something was before ${count} of the regions`;
    if (covered.length > 0) return `neutral patch ${covered[0]!.id} was covered`;
    return null;
  });
}

function luminance(region: RegionLevels): (number | null)[] {
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
function saturation(vials: readonly RegionLevels[], frames: number): (number | null)[] {
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
function paleThenColoured(region: RegionLevels, frame: number): boolean {
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
  courses: readonly (readonly Course[])[],
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
        excess !== null &&
        // Hardly any is: the noise need not be known of the others.
        Math.abs(excess.value - common[channel]!) > disturbance &&
        Math.abs(excess.value - common[channel]!) > 6 * excess.noise(),
    ),
  );
}

interface Course {
  readonly values: readonly (number | null)[];
  /** Frames that count as neighbours. */
  readonly usable: readonly boolean[];
  readonly turns: boolean;
}

/**
 * Distance from the range spanned by the medians before and after, signed; 0 inside it. `null` where too little is known.
 * At an end of the run there is one side only: a vial may then go on as that side goes, twice as far as a straight line.
 */
function outside(course: Course, frame: number): { value: number; noise: () => number } | null {
  const now = course.values[frame] ?? null;
  const before = nearest(course, frame, -1);
  const after = nearest(course, frame, 1);
  if (now === null || before.length + after.length < 4) return null;
  const sides = [before, after].filter((side) => side.length >= 2);
  const levels = sides.map(median);
  if (sides.length === 1 && course.turns && sides[0]!.length > nearCount) {
    const near = median(sides[0]!.slice(0, nearCount));
    // The near ones lie (nearCount + 1) / 2 frames away, all of them (length + 1) / 2.
    const slope = (near - levels[0]!) / ((sides[0]!.length - nearCount) / 2);
    levels.push(near + (nearCount + 1) * slope);
  }
  const low = Math.min(...levels);
  const high = Math.max(...levels);
  const noise = (): number => Math.max(0, ...[before, after].filter((side) => side.length >= 4).map(robustSd));
  return { value: now < low ? now - low : now > high ? now - high : 0, noise };
}

/** Up to {@link neighbours} usable values on one side, the nearest first, however wide a gap lies between. */
function nearest({ values, usable }: Course, frame: number, direction: -1 | 1): number[] {
  const found: number[] = [];
  for (let at = frame + direction; at >= 0 && at < values.length && found.length < neighbours; at += direction) {
    const value = values[at] ?? null;
    if (value !== null && usable[at] === true) found.push(value);
  }
  return found;
}
