import type { RegionPixels } from '../model/frame.ts';

/**
 * How much detail the still patches show: root mean square step from sample to sample of green, relative to its mean, so
 * that the light does not matter. No unit; only its course over the frames means something. `null` without still patches.
 */
export function sharpnessOf(regions: readonly RegionPixels[]): number | null {
  const total = { squares: 0, level: 0, steps: 0, samples: 0 };
  for (const region of regions) {
    if (region.kind !== 'anchor') continue;
    const { width, height, green } = region;
    total.level += sumOf(green);
    total.samples += green.length;
    total.squares += squaredSteps(green, width, height);
    total.steps += 2 * (width - 1) * (height - 1);
  }
  const { squares, level, steps, samples } = total;
  return steps === 0 || level <= 0 ? null : Math.sqrt(squares / steps) / (level / samples);
}

function sumOf(values: Float32Array): number {
  let sum = 0;
  for (let at = 0; at < values.length; at += 1) sum += values[at]!;
  return sum;
}

/** Squares of the steps to the right and down, of all samples that have both neighbours. */
function squaredSteps(values: Float32Array, width: number, height: number): number {
  let sum = 0;
  for (let row = 0; row + 1 < height; row += 1) {
    const start = row * width;
    for (let at = start; at < start + width - 1; at += 1) {
      const here = values[at]!;
      const across = values[at + 1]! - here;
      const down = values[at + width]! - here;
      sum += across * across + down * down;
    }
  }
  return sum;
}
