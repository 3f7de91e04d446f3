import { localEstimate } from './local-estimate.ts';
import type { JudgedVial } from './types.ts';

/** Change of extent that a mixture may show and still count as constant. Chosen: the median error an extent is held to (0.02). */
const constantWithin = 0.02;

/** How far a mixture moved from its beginning to its end, and whether that is clearly more than allowed; `null` without enough frames. */
export function driftOfMixture(judged: JudgedVial): { readonly change: number; readonly constant: boolean } | null {
  const { usable } = judged;
  if (usable.timeS.length < 6) return null;
  const start = localEstimate(usable, judged.fit, usable.timeS[0]!)!;
  const end = localEstimate(usable, judged.fit, usable.timeS.at(-1)!)!;
  const change = end.value - start.value;
  return { change, constant: Math.abs(change) <= constantWithin + 2 * Math.hypot(start.se, end.se) };
}
