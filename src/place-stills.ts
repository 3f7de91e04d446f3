import type { Still } from './model/measurement.ts';
import type { Shift } from './model/shift.ts';

/**
 * Says of every small picture where the rig file's places lie in it: moved since the rig was placed (`placed`), and since the first frame by
 * the shift of the nearest used frame. A still of which nothing is known, or that did not move, goes on as it is.
 */
export function placeStills(
  stills: readonly Still[],
  placed: Shift | null,
  timeRunS: readonly number[],
  shifts: readonly (Shift | null)[],
): readonly Still[] {
  return stills.map((still) => {
    const gap = (at: number): number => Math.abs(timeRunS[at]! - still.timeRunS);
    const nearest = timeRunS.reduce((best, _, at) => (gap(at) < gap(best) ? at : best), 0);
    const shift = together(placed, shifts[nearest] ?? null);
    return shift === null ? still : { ...still, shift };
  });
}

/** One similarity after another, both about the centre of the frame. */
function together(first: Shift | null, then: Shift | null): Shift | null {
  if (first === null || then === null) return plain(first ?? then);
  const [cos, sin] = [then.scale * Math.cos(then.rotation), then.scale * Math.sin(then.rotation)];
  return {
    dx: cos * first.dx - sin * first.dy + then.dx,
    dy: sin * first.dx + cos * first.dy + then.dy,
    rotation: first.rotation + then.rotation,
    scale: first.scale * then.scale,
  };
}

/** Trackers add what they know beside it. */
const plain = (shift: Shift | null): Shift | null =>
  shift === null ? null : { dx: shift.dx, dy: shift.dy, rotation: shift.rotation, scale: shift.scale };
