import type { Column, RegionColours } from '../model/measurement.ts';
import { channels, perChannel, standardErrorOf } from './channels.ts';
import { medianOfAll } from '../numeric/median.ts';
import { noiseSd } from './noise-sd.ts';

/** Most by which stated errors are raised. Chosen: beyond it the jitter is no measuring error but something in the vial. */
const most = 10;

/** Relative change from frame to frame below which a colour counts as repeated. Chosen: a tenth of the noise of a small region of an uncoded picture. */
const repeatedBelow = 1e-4;
/** Share of repeated frames from which a film counts as coarsely coded. Chosen; uncoded and JPEG pictures: under a tenth, H.264 of rate factor 12 to 18: half or more. */
const repeatedShare = 0.3;
/** Error of a block that the coder holds, encoded units. Measured on modelled H.264 of rate factor 12 to 18: 0.2 to 0.6 of an 8-bit step, lasting. */
const heldBlockSd = 0.4 / 255;

/**
 * The same where a vial changes quickly, share of the larger change to a frame beside it: a coder fills such frames from both sides and late. Measured on
 * modelled H.264 of rate factor 16 to 23 at 640 x 360: red off by 2 to 3 codes (root mean square) where frames differ by 8 to 60.
 */
const lateShare = 0.1;
/** Changes within so many standard errors are noise. Chosen. */
const noise = 4;

/** Share of frames in which a channel repeats the frame before; 0 of a dark channel or too few frames. */
function repeatedFrames(column: Column): number {
  let repeated = 0;
  let pairs = 0;
  column.forEach((value, frame) => {
    const before = column[frame - 1] ?? null;
    if (value === null || before === null || value < 0.02) return;
    pairs += 1;
    if (Math.abs(value - before) < repeatedBelow * value) repeated += 1;
  });
  return pairs < 5 ? 0 : repeated / pairs;
}

/**
 * Whether the film's coder held blocks unchanged while the scene's noise went on: then changes of less than about an 8-bit step
 * never reached the file, neither in vials nor in patches. From colours as read, before any correction.
 */
export function coderHoldsBlocks(regions: readonly RegionColours[]): boolean {
  const shares = regions.map(({ red, green }) => Math.max(repeatedFrames(red), repeatedFrames(green)));
  return shares.length > 0 && medianOfAll(shares) > repeatedShare;
}

/** Standard errors of a region as read, at least those of a block that the coder holds (sRGB slope), and more where its colour changes quickly. */
export function withHeldBlocks(region: RegionColours): RegionColours {
  const floor = (se: Column, value: Column): Column =>
    se.map((one, frame) => {
      const light = value[frame] ?? null;
      if (one === null || light === null) return one;
      const changes = [value[frame - 1], value[frame + 1]].map(
        (beside) => Math.abs((beside ?? light) - light) - noise * one,
      );
      return Math.hypot(Math.max(one, heldBlockSd * slopeAt(light)), lateShare * Math.max(0, ...changes));
    });
  return {
    ...region,
    redSe: floor(region.redSe, region.red),
    greenSe: floor(region.greenSe, region.green),
    blueSe: floor(region.blueSe, region.blue),
  };
}

/** Change of linear light by encoded value (IEC 61966-2-1). */
const slopeAt = (light: number): number => (light <= 0.0031308 ? 1 / 12.92 : (2.4 / 1.055) * light ** (1.4 / 2.4));

/**
 * Raises a region's standard errors to what its corrected colours show from frame to frame, where pixel scatter told too little: rounding of a coded
 * picture is common to a whole vial (measured on JPEG of quality 90: two to three times the scatter's error). Never lowered. Robust, and from the
 * deviation of each frame from the mean of its neighbours, so that neither a quick reaction nor single bad frames raise it.
 */
export function raiseErrors(region: RegionColours): RegionColours {
  const factor = perChannel((channel) => {
    const stated = medianOfAll(standardErrorOf(region, channel).filter((value) => value !== null));
    if (!(stated > 0)) return 1;
    return Math.min(most, Math.max(1, noiseSd(region[channel]) / stated));
  });
  const raised = (column: Column, by: number): Column => column.map((value) => (value === null ? null : value * by));
  if (channels.every((channel) => factor[channel] === 1)) return region;
  return {
    ...region,
    redSe: raised(region.redSe, factor.red),
    greenSe: raised(region.greenSe, factor.green),
    blueSe: raised(region.blueSe, factor.blue),
  };
}
