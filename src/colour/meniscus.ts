import type { RegionPixels } from '../model/frame.ts';
import { medianInPlace } from './median.ts';
import { mostNumbers, shortList } from './short-median.ts';

/** Smallest step of encoded lightness over three rows that counts as an edge. Chosen: ten 8-bit steps, above coding noise of a mean over the columns. */
const smallestEdge = 10 / 255;

/** Share of the rows looked at in which, next to the crop's border, an edge is not believed. Chosen: about the thickness of a meniscus. */
const borderShare = 0.15;
/** Pixels in which it is not believed at least. Chosen. */
const borderPixels = 8;

type Buffers = [Float64Array, Float64Array];
/** Used anew by every call: a region and frame each would else take memory of its own. */
let [profile, slopes]: Buffers = [new Float64Array(0), new Float64Array(0)];

/**
 * Row of the strongest horizontal edge between the crop's top and the middle of the region, in frame pixels to a fraction;
 * `null` where none stands out (weaker than ten 8-bit steps or than five times the usual change from row to row).
 * Seen along the vial's middle third, a few columns suffice.
 */
export function findMeniscus(pixels: RegionPixels, left: number, right: number, middleY: number): number | null {
  const { pixelsPerSample: step, width, red, green } = pixels;
  const from = Math.max(0, Math.floor((left + (right - left) / 3 - pixels.x) / step));
  const to = Math.min(pixels.width - 1, Math.ceil((right - (right - left) / 3 - pixels.x) / step));
  const rows = Math.min(pixels.height, Math.floor((middleY - pixels.y) / step));
  if (to <= from || rows < 6) return null;
  const stride = Math.max(1, Math.floor((to - from) / 8));
  if (profile.length < rows) [profile, slopes] = [0, 1].map(() => new Float64Array(2 * rows)) as Buffers;
  for (let row = 0; row < rows; row += 1) {
    let sum = 0;
    let seen = 0;
    for (let column = from; column <= to; column += stride) {
      const index = row * width + column;
      sum += red[index]! + green[index]!;
      seen += 2;
    }
    profile[row] = sum / seen;
  }
  const count = rows - 2;
  let best = 0;
  for (let row = 0; row < count; row += 1) {
    const slope = Math.abs(profile[row + 2]! - profile[row]!);
    slopes[row] = slope;
    if (slope > slopes[best]!) best = row;
  }
  const usual = usualSlope(count);
  if (slopes[best]! < Math.max(smallestEdge, 5 * usual)) return null;
  // A meniscus cut by the crop's border shows its upper edge in one frame and its lower one after a nudge: that would look like evaporation.
  if (best < Math.max(borderPixels / step, borderShare * rows)) return null;
  const before = slopes[best - 1]!;
  const after = best + 1 < count ? slopes[best + 1]! : slopes[best]!;
  const bend = before + after - 2 * slopes[best]!;
  const offset = bend < 0 ? (before - after) / (2 * bend) : 0;
  return pixels.y + (best + 1.5 + offset) * step;
}

function usualSlope(count: number): number {
  if (count > mostNumbers) return medianInPlace(slopes.slice(0, count), count);
  const { values, median } = shortList;
  for (let row = 0; row < count; row += 1) values[row] = slopes[row]!;
  return median(count);
}
