import { upperMedian } from '../numeric/median.ts';

/** Frames on each side that a frame is held against. */
const reach = 7;
/** Robust standard deviations outside its neighbourhood at which a frame is set aside; common practice is 3 to 6. */
const limit = 6;

/**
 * Marks frames that lie outside the bracket between the medians of the frames before and after them: a hand or a
 * reflection in the picture. Any monotone change, however quick, stays inside the bracket. The first and last frames
 * are never marked. Up to three bad frames in a row are recognised.
 */
export function findOutliers(values: readonly number[]): readonly boolean[] {
  const marked = new Array<boolean>(values.length).fill(false);
  if (values.length < 2 * reach) return marked;
  const scale = noiseScale(values);
  const medians = runningMedians(values);
  for (let i = 2; i < values.length - 2; i += 1) {
    const before = i < reach ? upperMedian(values.slice(0, i))! : medians[i - reach]!;
    const after = i + 1 < medians.length ? medians[i + 1]! : upperMedian(values.slice(i + 1))!;
    const below = Math.min(before, after) - values[i]!;
    const above = values[i]! - Math.max(before, after);
    marked[i] = Math.max(below, above) > limit * scale;
  }
  return marked;
}

/** Median absolute difference over three frames as a standard deviation, at least that of 8-bit rounding. */
function noiseScale(values: readonly number[]): number {
  const differences = new Float64Array(values.length - 3);
  for (let i = 0; i < differences.length; i += 1) differences[i] = Math.abs(values[i + 3]! - values[i]!);
  differences.sort();
  return Math.max((1.4826 * differences[differences.length >> 1]!) / Math.SQRT2, 1e-3);
}

/** Entry i is the median of values i .. i + reach - 1; sorted by hand, as every frame asks. */
function runningMedians(values: readonly number[]): Float64Array {
  const medians = new Float64Array(values.length - reach + 1);
  const window = new Float64Array(reach);
  for (let i = 0; i < medians.length; i += 1) {
    for (let k = 0; k < reach; k += 1) {
      const value = values[i + k]!;
      let place = k;
      while (place > 0 && window[place - 1]! > value) {
        window[place] = window[place - 1]!;
        place -= 1;
      }
      window[place] = value;
    }
    medians[i] = window[reach >> 1]!;
  }
  return medians;
}
