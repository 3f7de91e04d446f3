import type { Measurement } from '../model/measurement.ts';
import { median } from '../numeric/median.ts';
import type { JudgedVial } from './types.ts';

/**
 * Standard error of a difference of extents from light that was corrected by something less than neutral patches.
 * Chosen: still vials under the same lamp carry most of any drift with them, so what is left is a part of it; with the
 * scene's background half as much as with nothing.
 */
const leastError = { none: 0.02, background: 0.01, patches: 0 } as const;

/** Differences between what the references changed by, relative, up to which the correction is believed as it is (the figure). */
const believedUnevenness = 0.03;
/** Share of the unevenness that a plane through two or three references may leave between them; through more, what it leaves is seen. Chosen. */
const unseenShare = 1 / 3;
/**
 * Extent that a relative error of light makes in a difference. Chosen, as an upper value: the path's red falls by a factor of five to six over
 * extents 0 to 1, and green and blue pull the other way.
 */
const extentPerLight = 0.6;

/**
 * At least the figure above; without any correction also half of the apparent drift of the vials that should stand still
 * (blank and negatives), since the part that depends on colour need not be the same in other vials. Light that changed by more than 3 %
 * unevenly over the frame adds what its correction may have left.
 */
export function lightError(light: Measurement['light'], still: readonly JudgedVial[]): number {
  const uneven = extentPerLight * leftUneven(light);
  if (light.basis === 'patches') return uneven;
  const drifts = still.map(apparentDrift);
  const drift = drifts.length === 0 ? 0 : Math.max(...drifts);
  return Math.max(leastError[light.basis], uneven, light.basis === 'none' ? drift / 2 : 0);
}

/**
 * Standard error, extent, of any vial from what the correction of light leaves, as it says itself of its gains; at least the
 * figures above without patches. All of it counts as slow: what is fresh in every frame is in the frames' own scatter as well.
 */
export function slowLightError(light: Measurement['light']): number {
  const stated = median(light.gainSe) ?? 0;
  return Math.max(leastError[light.basis], extentPerLight * stated);
}

/** What the correction may have left of uneven light, relative; 0 where it was even enough. */
export function leftUneven({ unevenness, uncorrectedUnevenness }: Measurement['light']): number {
  const range = unevenness ?? 0;
  if (range <= believedUnevenness) return 0;
  return uncorrectedUnevenness ?? unseenShare * range;
}

/** Median extent at the last frames less that at the first, absolute; 0 with too few frames. */
function apparentDrift({ usable }: JudgedVial): number {
  const span = Math.max(3, Math.round(usable.extent.length * 0.1));
  if (usable.extent.length < 2 * span) return 0;
  const first = median(usable.extent.slice(0, span))!;
  const last = median(usable.extent.slice(-span))!;
  return Math.abs(last - first);
}
