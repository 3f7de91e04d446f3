import { interpolate } from '../numeric/interpolate.ts';
import { median } from '../numeric/median.ts';
import type { JudgedVial } from './types.ts';

/** Frames of the running median that stands in where a vial has no fitted curve; chosen. */
const runningFrames = 9;

/** A vial's smoothed extent as a function of time since dosing; end values hold outside. `null` without usable frames. */
export function courseOf(judged: JudgedVial): ((timeS: number) => number) | null {
  const { usable, fit } = judged;
  if (usable.timeS.length === 0) return null;
  const half = runningFrames >> 1;
  const smooth = usable.extent.map((_, i) => {
    // Near the ends the window shrinks evenly, so that it stays centred.
    const reach = Math.min(half, i, usable.extent.length - 1 - i);
    return median(usable.extent.slice(i - reach, i + reach + 1))!;
  });
  const curve = fit.curve;
  if (curve === null || fit.model === null) return (timeS) => interpolate(usable.timeS, smooth, timeS);
  return (timeS) => interpolate(curve.timeS, curve.extent, timeS);
}
