import type { RegionColours } from '../model/measurement.ts';
import type { Channel } from './channels.ts';
import { medianOfAll } from '../numeric/median.ts';

/** Linear level below which a vial's channel is left out of the common jitter: its own noise would be most of it. Chosen. */
const darkest = 0.03;

/**
 * A series whose frame-to-frame changes are the median change over the vials, in logarithms: what all vials do at once is light.
 * Its slow course means nothing (reactions are in it). `null` with fewer than three vials bright enough.
 */
export function vialRoughness(vials: readonly RegionColours[], channel: Channel, frames: number): (number | null)[] {
  let level: number | null = null;
  return Array.from({ length: frames }, (_, frame) => {
    const changes: number[] = [];
    for (const vial of vials) {
      const now = vial[channel][frame] ?? null;
      const before = frame === 0 ? now : (vial[channel][frame - 1] ?? null);
      if (now !== null && before !== null && now >= darkest && before >= darkest) changes.push(Math.log(now / before));
    }
    if (changes.length < 3) {
      level = null;
      return null;
    }
    level = (level ?? 0) + (frame === 0 ? 0 : medianOfAll(changes));
    return level;
  });
}
