import type { Column } from '../model/measurement.ts';
import { channels, luminanceWeights } from './channels.ts';
import { medianOfAll, medianOfFew } from '../numeric/median.ts';
import { robustSd } from '../numeric/robust-sd.ts';
import {
  colouredAbove,
  freshColours,
  isYoung,
  logOfLight,
  saturationAt,
  waitsForReagent,
  youngFrames,
  type RegionLevels,
} from './young-vials.ts';

export interface FramesToJudge {
  /** As read, over all decoded frames, in order of time. */
  readonly vials: readonly RegionLevels[];
  readonly patches: readonly RegionLevels[];
  /** Frames in which the camera could not be followed; shorter than the run or empty: in none. */
  readonly cameraLost: readonly boolean[];
  /** Detail of the still parts of the picture, any unit; left out: not known. */
  readonly sharpness?: Column;
}

/** Why a frame without a known place of the camera is left out. */
export const cameraLostReason = 'the still parts of the picture were hidden or the camera was moving';

/** Share of the usual light below which a frame counts as dark. Chosen: lamps do not sag that far and cameras do not correct it. */
const darkShare = 0.15;
/** Saturation, (max - min) / max of linear R, G, B, below which nothing in the rack has a colour. Chosen. */
const greyBelow = 0.06;
/** Saturation that no vial reaches in any frame of a black-and-white run. Chosen: a colour camera's grey is less even. */
const noColour = 0.01;
/** How far outside its neighbours' range, in natural log of linear light, a region must be to count as disturbed. Chosen: 20 %, far above noise. */
const disturbance = 0.2;
/** Share of the detail seen before and after below which the picture is blurred. Chosen: a coder's key frames differ by a fifth. */
const blurredShare = 0.6;
/** Frames on either side that make up the neighbours. Chosen: a hand is away again within a few frames. */
const neighbours = youngFrames;
/** Of these, the ones that show where a side leads at an end of the run. Chosen: a third. */
const nearCount = 3;
/** Times the neighbours are chosen anew. Chosen: a hand of a few frames needs two or three. */
const rounds = 8;
/** Share of regions (and at least two) that must be disturbed at once. Chosen: one vial may boil over, two at once are a hand. */
const disturbedShare = 0.2;

/**
 * Finds frames that must not be used, each with its reason, `null` for a good frame: lights off, night mode without colour, anchors hidden, something before the rack, out of focus.
 * A change that stays, or that lies between what was before and after, is never a reason: so a reacting vial is none, however quick.
 * In its first frames, where little or nothing was before, a vial's change is chemistry when it leads from fresh reagent to what is seen after.
 * (Something of a colour between the two, before such a vial alone, is then not told from it.)
 */
export function judgeFrames({ vials, patches, cameraLost, sharpness = [] }: FramesToJudge): (string | null)[] {
  const regions = [...patches, ...vials];
  const frames = Math.max(0, ...regions.map((region) => region.green.length), cameraLost.length);
  const light = (patches.length > 0 ? patches : vials).map(luminance);
  const usualLight = light.map((series) => medianOfAll(series.filter((value) => value !== null)));
  const colour = saturation(vials, frames);
  const usualColour = medianOfAll(colour.filter((value) => value !== null));
  const blackAndWhite = Math.max(0, ...colour.map((value) => value ?? 0)) < noColour;
  const alone = Array.from({ length: frames }, (_, frame): string | null => {
    const shares = light.flatMap((series, index) =>
      (series[frame] ?? null) === null ? [] : [series[frame]! / usualLight[index]!],
    );
    if (regions.length > 0 && shares.length === 0) return 'no region could be read';
    if (shares.length > 0 && Math.max(...shares) < darkShare) return 'the light was off';
    const seen = colour[frame] ?? null;
    if (seen !== null && blackAndWhite) return 'the picture has no colour (black and white, or a night mode)';
    if (seen !== null && seen < greyBelow && usualColour > colouredAbove)
      return 'the picture has no colour (night mode)';
    return cameraLost[frame] === true ? cameraLostReason : null;
  });
  const fresh = freshColours(vials);
  // Bad frames are no neighbours to judge by, and a hand that stays for some frames is found from its edge inwards.
  let reasons = alone;
  for (let round = 0; round < rounds; round += 1) {
    const found = byNeighbours(regions, patches, fresh, sharpness, reasons);
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
  fresh: readonly Levels[],
  sharpness: Column,
  reasons: readonly (string | null)[],
): (string | null)[] {
  const usable = reasons.map((reason) => reason === null);
  const courses = regions
    .map((region) =>
      channels.map((channel) => ({
        values: logarithm(region[channel]),
        usable,
        // Nothing turns in a patch: at the ends of the run it may not lead away from what is seen beside it.
        turns: !patches.includes(region),
      })),
    )
    .map((region) => region.map(withMedians));
  const logSharpness = sharpness.map((value) => (value === null ? null : Math.log(value)));
  const still = withMedians({ values: logSharpness, usable, turns: false });
  return reasons.map((_, frame) => {
    // Blur carries the surroundings' light into the regions too; a hand before most anchors was told above.
    const detail = outside(still, frame);
    if (detail !== null && detail < Math.log(blurredShare)) return 'the picture was out of focus or misted over';
    const chemistry = regions.map((region, index) =>
      patches.includes(region) ? [] : chemicalLevels(region, courses[index]!, fresh, frame),
    );
    const disturbed = disturbedRegions(courses, frame, chemistry);
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
      const seen = saturationAt(vial, frame);
      if (seen !== null) most = Math.max(most ?? 0, seen);
    }
    return most;
  });
}

/** Log of linear R, G, B. */
type Levels = readonly number[];

/**
 * Colours that a young vial may lead from, each with what it showed just before: the rack's fresh reagent where it showed none yet.
 * Empty for an older vial, which has frames enough before; `null` for one that waits for its reagent in the first frames: it is not judged.
 */
function chemicalLevels(
  region: RegionLevels,
  courses: readonly Course[],
  fresh: readonly Levels[],
  frame: number,
): readonly (readonly Levels[])[] | null {
  if (!isYoung(region, frame)) return [];
  const before = frame === 0 ? -1 : courses[0]!.usable.lastIndexOf(true, frame - 1);
  if (frame < 2 && waitsForReagent(region, frame)) return null;
  const own = before < 0 ? [] : courses.map(({ values }) => values[before] ?? null);
  const known = own.length > 0 && own.every((value) => value !== null) ? [own as Levels] : [];
  const began = before >= 0 && (saturationAt(region, before) ?? 0) > colouredAbove;
  return began || fresh.length === 0 ? [known] : fresh.map((colour) => [...known, colour]);
}

const logarithm = (column: Column): (number | null)[] =>
  column.map((value) => (value === null ? null : logOfLight(value)));

/**
 * Which regions lie outside what they show before and after, once the change common to all is taken off. `chemistry`: for each region sets of
 * further levels, of which the one that explains most counts; `null`: never disturbed.
 */
function disturbedRegions(
  courses: readonly (readonly Course[])[],
  frame: number,
  chemistry: readonly (readonly (readonly Levels[])[] | null)[],
): boolean[] {
  const excesses = courses.map((region, index) => {
    const sets = chemistry[index]!;
    if (sets === null) return region.map(() => null);
    if (sets.length === 0) return region.map((course) => outside(course, frame));
    const ways = sets.map((levels) =>
      region.map((course, channel) =>
        outside(
          course,
          frame,
          levels.map((colour) => colour[channel]!),
        ),
      ),
    );
    const size = (way: (typeof ways)[number]): number => Math.max(...way.map((one) => Math.abs(one ?? 0)));
    return ways.reduce((best, way) => (size(way) < size(best) ? way : best));
  });
  const common = channels.map((_, channel) => medianOfAll(excesses.flatMap((region) => region[channel] ?? [])));
  return excesses.map((region, index) =>
    region.some(
      (excess, channel) =>
        excess !== null &&
        // Hardly any is: the noise need not be known of the others.
        Math.abs(excess - common[channel]!) > disturbance &&
        Math.abs(excess - common[channel]!) > 6 * noiseAround(courses[index]![channel]!, frame),
    ),
  );
}

interface Course {
  readonly values: readonly (number | null)[];
  /** Frames that count as neighbours. */
  readonly usable: readonly boolean[];
  readonly turns: boolean;
  /** Median of as many frames as there are {@link neighbours}, from each on; NaN where one of them is none. */
  readonly medians: Float64Array;
}

/** What lies before a frame lies after one ten frames earlier: medians of both sides are taken once. */
function withMedians(course: Omit<Course, 'medians'>): Course {
  const { values, usable } = course;
  const medians = new Float64Array(values.length).fill(NaN);
  let run = 0;
  for (let at = values.length - 1; at >= 0; at -= 1) {
    run = (values[at] ?? null) !== null && usable[at] === true ? run + 1 : 0;
    if (run < neighbours) continue;
    for (let index = 0; index < neighbours; index += 1) after[index] = values[at + index]!;
    medians[at] = medianOfFew(after, neighbours);
  }
  return { ...course, medians };
}

/**
 * Distance from the range spanned by the medians before and after, signed; 0 inside it. `null` where too little is known.
 * At an end of the run there is one side only: a vial may then go on as that side goes, twice as far as a straight line.
 * `further` levels widen the range.
 */
function outside(course: Course, frame: number, further: readonly number[] = []): number | null {
  const now = course.values[frame] ?? null;
  if (now === null) return null;
  const [left, right] = [course.medians[frame - neighbours] ?? NaN, course.medians[frame + 1] ?? NaN];
  if (left === left && right === right) {
    const low = Math.min(left, right, ...further);
    const high = Math.max(left, right, ...further);
    return now < low ? now - low : now > high ? now - high : 0;
  }
  const [beforeCount, afterCount] = [nearest(course, frame, -1, before), nearest(course, frame, 1, after)];
  if (beforeCount + afterCount < 4) return null;
  let low = Infinity;
  let high = -Infinity;
  const widen = (level: number): void => {
    low = Math.min(low, level);
    high = Math.max(high, level);
  };
  for (const level of further) widen(level);
  if (beforeCount >= 2) widen(medianOfFew(before, beforeCount));
  if (afterCount >= 2) widen(medianOfFew(after, afterCount));
  if (course.turns && beforeCount >= 2 !== afterCount >= 2) {
    const [side, count] = beforeCount >= 2 ? [before, beforeCount] : [after, afterCount];
    if (count > nearCount) {
      const near = medianOfFew(side, nearCount);
      // The near ones lie (nearCount + 1) / 2 frames away, all of them (count + 1) / 2.
      const slope = (near - medianOfFew(side, count)) / ((count - nearCount) / 2);
      widen(near + (nearCount + 1) * slope);
    }
  }
  return now < low ? now - low : now > high ? now - high : 0;
}

/** Used anew by every call: millions of small lists kept the garbage collector busy. */
const before = new Float64Array(neighbours);
const after = new Float64Array(neighbours);

/** Scatter of what lies before or after a frame, whichever is larger; 0 where too little is known. */
function noiseAround(course: Course, frame: number): number {
  const sides = ([-1, 1] as const).map((direction) => [
    ...before.subarray(0, nearest(course, frame, direction, before)),
  ]);
  return Math.max(0, ...sides.filter((side) => side.length >= 4).map((side) => robustSd(side)!));
}

/** Puts up to {@link neighbours} usable values on one side, the nearest first, however wide a gap lies between; how many. */
function nearest({ values, usable }: Course, frame: number, direction: -1 | 1, into: Float64Array): number {
  let count = 0;
  for (let at = frame + direction; at >= 0 && at < values.length && count < neighbours; at += direction) {
    const value = values[at] ?? null;
    if (value !== null && usable[at] === true) into[count++] = value;
  }
  return count;
}
