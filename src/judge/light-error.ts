import type { Measurement } from '../model/measurement.ts';
import { knownMedian } from './robust.ts';
import type { JudgedVial } from './types.ts';

/**
 * Standard error of a difference of extents from light that was corrected by something less than neutral patches.
 * Chosen: still vials under the same lamp carry most of any drift with them, so what is left is a part of it; with the
 * scene's background half as much as with nothing.
 */
const leastError = { none: 0.02, background: 0.01, patches: 0 } as const;

/**
 * At least the figure above; without any correction also half of the apparent drift of the vials that should stand still
 * (blank and negatives), since the part that depends on colour need not be the same in other vials.
 */
export function lightError(light: Measurement['light'], still: readonly JudgedVial[]): number {
  const least = leastError[light.basis];
  if (light.basis === 'patches') return 0;
  const drifts = still.map(apparentDrift);
  const drift = drifts.length === 0 ? 0 : Math.max(...drifts);
  return Math.max(least, light.basis === 'none' ? drift / 2 : 0);
}

/** Median extent at the last frames less that at the first, absolute; 0 with too few frames. */
function apparentDrift({ usable }: JudgedVial): number {
  const span = Math.max(3, Math.round(usable.extent.length * 0.1));
  if (usable.extent.length < 2 * span) return 0;
  const first = knownMedian(usable.extent.slice(0, span))!;
  const last = knownMedian(usable.extent.slice(-span))!;
  return Math.abs(last - first);
}
