import type { MeasurementNote } from '../model/measurement.ts';
import type { Shift } from '../model/shift.ts';

/** Frames in a row from which it is told. Chosen: a hand is away within a few. */
const fewest = 3;

/** Frames in a row in which the camera was not followed. */
export interface LostStretch {
  readonly fromRunS: number;
  readonly toRunS: number;
  readonly frames: number;
  /** Up to the last frame of the run. */
  readonly toEnd: boolean;
  /** By how much a picture out of it lies off the first one; `null`: not recognised. */
  readonly shift: Shift | null;
}

/**
 * What is told of stretches that were left out because the camera could not be followed.
 * @param followedPx largest move that frames are followed over
 */
export function describeLost(stretches: readonly LostStretch[], followedPx: number): MeasurementNote[] {
  return stretches
    .filter(({ frames, toEnd }) => frames >= fewest || toEnd)
    .map(({ fromRunS, toRunS, frames, toEnd, shift }) => ({
      code: 'camera-lost',
      severity: 'warn',
      message: `${frames} frame${frames === 1 ? '' : 's'}${toEnd ? ' up to the end' : ''} could not be followed and were left out: ${why(shift, followedPx)}.`,
      fromRunS,
      toRunS,
      region: null,
    }));
}

function why(shift: Shift | null, followedPx: number): string {
  const size = shift === null ? 0 : Math.hypot(shift.dx, shift.dy);
  if (shift !== null && size > followedPx) {
    return `the picture moved by about ${size.toFixed(0)} px (${shift.dx.toFixed(0)} right, ${shift.dy.toFixed(0)} down), too large to follow (${followedPx} px at most)`;
  }
  if (shift !== null) return 'its still places were hidden, or the camera was moving';
  return `the picture moved by more than can be followed (${followedPx} px at most), or something stood before its still places`;
}
