import type { RegionPixels } from '../model/frame.ts';

/**
 * How much detail the still patches show: root mean square step from sample to sample of green, relative to its mean, so
 * that the light does not matter. No unit; only its course over the frames means something. `null` without still patches.
 */
export function sharpnessOf(regions: readonly RegionPixels[]): number | null {
  let squares = 0;
  let level = 0;
  let steps = 0;
  let samples = 0;
  for (const { kind, width, height, green } of regions) {
    if (kind !== 'anchor') continue;
    for (let row = 0; row < height; row += 1) {
      for (let column = 0; column < width; column += 1) {
        const at = row * width + column;
        level += green[at]!;
        samples += 1;
        if (column + 1 === width || row + 1 === height) continue;
        squares += (green[at + 1]! - green[at]!) ** 2 + (green[at + width]! - green[at]!) ** 2;
        steps += 2;
      }
    }
  }
  return steps === 0 || level <= 0 ? null : Math.sqrt(squares / steps) / (level / samples);
}
