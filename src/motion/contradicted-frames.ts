import type { Shift } from '../model/shift.ts';

/** Distance between what the whole picture and the still places say from which the latter are not believed, share of the frame's width. Chosen: less than half a column of any rack, more than either's error. */
const tooFarShare = 0.015;
/** Frames that belong together: as near as this, pixels. Chosen: ten times the tracker's error. */
const samePlacePx = 1;

/**
 * Frames in which the still places were found again at a wrong place, as whole pictures show: a rack repeats itself, and after a move by about
 * a column its glass fits again. What stands where such a frame does, and follows it or goes before it without a gap, is wrong with it, up to
 * where a picture agrees.
 * @param lost frames that were not found again anyway
 */
export function contradictedFrames(
  timeRunS: readonly number[],
  shifts: readonly (Shift | null)[],
  looks: readonly { readonly timeRunS: number; readonly shift: Shift }[],
  lost: readonly boolean[],
  frameWidth: number,
): boolean[] {
  const wrong = timeRunS.map(() => false);
  const found = (at: number): Shift | null => (lost[at] === false ? (shifts[at] ?? null) : null);
  const looked = looks.flatMap(({ timeRunS: time, shift }) => {
    const at = timeRunS.indexOf(time);
    const told = found(at);
    return told === null ? [] : [{ at, told, agrees: distance(told, shift) <= tooFarShare * frameWidth }];
  });
  // The first frame is where all the others are looked for.
  const agreed = new Set([0, ...looked.filter(({ agrees }) => agrees).map(({ at }) => at)]);
  for (const { at, told, agrees } of looked) {
    if (agrees) continue;
    for (const step of [1, -1]) {
      for (let frame = at; frame >= 0 && frame < wrong.length && !agreed.has(frame); frame += step) {
        const shift = found(frame);
        if (shift === null || distance(shift, told) > samePlacePx) break;
        wrong[frame] = true;
      }
    }
  }
  return wrong;
}

const distance = (one: Shift, other: Shift): number => Math.hypot(one.dx - other.dx, one.dy - other.dy);
