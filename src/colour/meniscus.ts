import type { RegionPixels } from '../model/frame.ts';
import { medianOf } from './median.ts';

/** Smallest step of encoded lightness over three rows that counts as an edge. Chosen: ten 8-bit steps, above coding noise of a mean over the columns. */
const smallestEdge = 10 / 255;

/** Share of the rows looked at in which, next to the crop's border, an edge is not believed. Chosen: about the thickness of a meniscus. */
const borderShare = 0.15;
/** Pixels in which it is not believed at least. Chosen. */
const borderPixels = 8;

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
  const profile = new Float64Array(rows);
  for (let row = 0; row < rows; row += 1) {
    let sum = 0;
    let count = 0;
    for (let column = from; column <= to; column += stride) {
      const index = row * width + column;
      sum += red[index]! + green[index]!;
      count += 2;
    }
    profile[row] = sum / count;
  }
  const slopes = new Float64Array(rows - 2);
  for (let row = 0; row < slopes.length; row += 1) slopes[row] = Math.abs(profile[row + 2]! - profile[row]!);
  let best = 0;
  for (let row = 1; row < slopes.length; row += 1) if (slopes[row]! > slopes[best]!) best = row;
  const usual = medianOf(slopes);
  if (slopes[best]! < Math.max(smallestEdge, 5 * usual)) return null;
  // A meniscus cut by the crop's border shows its upper edge in one frame and its lower one after a nudge: that would look like evaporation.
  if (best < Math.max(borderPixels / step, borderShare * rows)) return null;
  const before = slopes[best - 1]!;
  const after = best + 1 < slopes.length ? slopes[best + 1]! : slopes[best]!;
  const bend = before + after - 2 * slopes[best]!;
  const offset = bend < 0 ? (before - after) / (2 * bend) : 0;
  return pixels.y + (best + 1.5 + offset) * step;
}
