import { medianOfFew } from '../numeric/median.ts';
import { noiseSd } from './noise-sd.ts';

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
  const known = knownOf(values);
  const { frames, levels } = known;
  const threshold = Math.max(smallest, 6 * noiseSd(values));
  const candidates: { position: number; size: number }[] = [];
  // Of five frames or fewer: those before one place are those after another.
  const slopes = levels.map((_, from) => theilSlope(known, from, Math.min(from + reach, levels.length)));
  for (let position = 2; position < levels.length - 1; position += 1) {
    const from = Math.max(0, position - reach);
    const slope = position < reach ? theilSlope(known, from, position) : slopes[from]!;
    // The jump beyond the drift at the place must be a step by itself: noise alone bends five-frame lines more easily than it jumps.
    const drift = (slope + slopes[position]!) / 2;
    const jump = levels[position]! - levels[position - 1]! - drift;
    if (!(Math.abs(jump) > threshold)) continue;
    const middle = (frames[position - 1]! + frames[position]!) / 2;
    const to = Math.min(position + reach, levels.length);
    const size =
      extrapolate(known, position, to, slopes[position]!, middle) - extrapolate(known, from, position, slope, middle);
    if (Math.abs(size) > threshold && jump / size > 0.6) candidates.push({ position, size });
  }
  // Of neighbours that see the same step, the one with the largest jump is it.
  return candidates
    .filter(({ position }) => {
      const jump = (at: number): number => Math.abs(levels[at]! - levels[at - 1]!);
      return candidates.every(
        (other) =>
          other.position === position ||
          Math.abs(other.position - position) > 2 ||
          jump(other.position) < jump(position) ||
          (jump(other.position) === jump(position) && other.position > position),
      );
    })
    .map(({ position, size }) => ({ frame: frames[position]!, size }));
}

/** Values that are known, with the numbers of their frames. */
interface Known {
  readonly frames: Float64Array;
  readonly levels: Float64Array;
}

function knownOf(values: readonly (number | null)[]): Known {
  const frames: number[] = [];
  const levels: number[] = [];
  values.forEach((value, frame) => {
    if (value === null) return;
    frames.push(frame);
    levels.push(value);
  });
  return { frames: Float64Array.from(frames), levels: Float64Array.from(levels) };
}

const scratch = new Float64Array((reach * (reach - 1)) / 2);

/** Value at `at` of a robust line of that slope through a few frames; of fewer than three, their median. */
function extrapolate({ frames, levels }: Known, from: number, to: number, slope: number, at: number): number {
  const count = to - from;
  for (let one = 0; one < count; one += 1) {
    scratch[one] = count < 3 ? levels[from + one]! : levels[from + one]! + slope * (at - frames[from + one]!);
  }
  return medianOfFew(scratch, count);
}

/** Median of the slopes of all pairs (Theil, Sen) of a few frames; 0 of fewer than three. */
function theilSlope({ frames, levels }: Known, from: number, to: number): number {
  if (to - from < 3) return 0;
  let count = 0;
  for (let first = from; first < to; first += 1) {
    for (let second = first + 1; second < to; second += 1) {
      scratch[count++] = (levels[second]! - levels[first]!) / (frames[second]! - frames[first]!);
    }
  }
  return medianOfFew(scratch, count);
}
