import { median, noiseSd } from './robust.ts';

/** A lasting jump of a series between two neighbouring frames. */
export interface Step {
  /** First frame after the jump. */
  readonly frame: number;
  readonly size: number;
}

/** Frames looked at on either side. Chosen: fewer are noisy, more cross the drift. */
const reach = 5;

/**
 * Finds steps: lines through the five frames before and the five after, read off midway between, differ by more than `smallest` and six times
 * the frame noise, and most of that happens between two frames. A drift, however steep, is no step. Unknown values are skipped.
 */
export function findSteps(values: readonly (number | null)[], smallest: number): Step[] {
  const known = values.flatMap((value, frame) => (value === null ? [] : [{ frame, value }]));
  const threshold = Math.max(smallest, 6 * noiseSd(values));
  const candidates: { position: number; size: number }[] = [];
  for (let position = 2; position < known.length - 1; position += 1) {
    const middle = (known[position - 1]!.frame + known[position]!.frame) / 2;
    const before = known.slice(Math.max(0, position - reach), position);
    const after = known.slice(position, position + reach);
    const size = extrapolate(after, middle) - extrapolate(before, middle);
    // The jump beyond the drift at the place must be a step by itself: noise alone bends five-frame lines more easily than it jumps.
    const drift = (theilSlope(before) + theilSlope(after)) / 2;
    const jump = known[position]!.value - known[position - 1]!.value - drift;
    if (Math.abs(size) > threshold && Math.abs(jump) > threshold && jump / size > 0.6)
      candidates.push({ position, size });
  }
  // Of neighbours that see the same step, the one with the largest jump is it.
  return candidates
    .filter(({ position }) => {
      const jump = (at: number): number => Math.abs(known[at]!.value - known[at - 1]!.value);
      return candidates.every(
        (other) =>
          other.position === position ||
          Math.abs(other.position - position) > 2 ||
          jump(other.position) < jump(position) ||
          (jump(other.position) === jump(position) && other.position > position),
      );
    })
    .map(({ position, size }) => ({ frame: known[position]!.frame, size }));
}

/** Value at `at` of a robust line through a few frames; of fewer than three, their median. */
function extrapolate(frames: readonly { readonly frame: number; readonly value: number }[], at: number): number {
  const middle = median(frames.map(({ value }) => value));
  if (frames.length < 3) return middle;
  const slope = theilSlope(frames);
  return median(frames.map(({ frame, value }) => value + slope * (at - frame)));
}

/** Median of the slopes of all pairs (Theil, Sen). */
function theilSlope(frames: readonly { readonly frame: number; readonly value: number }[]): number {
  if (frames.length < 3) return 0;
  return median(
    frames.flatMap((first, index) =>
      frames.slice(index + 1).map((second) => (second.value - first.value) / (second.frame - first.frame)),
    ),
  );
}
