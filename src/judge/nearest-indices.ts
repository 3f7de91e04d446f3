/** Positions of the `count` times nearest to `at` in an ascending list, ascending; all of them when there are fewer. */
export function nearestIndices(timeS: readonly number[], at: number, count: number): readonly number[] {
  let above = 0;
  let end = timeS.length;
  while (above < end) {
    const middle = (above + end) >> 1;
    if (timeS[middle]! < at) above = middle + 1;
    else end = middle;
  }
  let first = above;
  while (above - first < Math.min(count, timeS.length)) {
    const before = first > 0 ? at - timeS[first - 1]! : Infinity;
    const after = above < timeS.length ? timeS[above]! - at : Infinity;
    if (before <= after) first -= 1;
    else above += 1;
  }
  return Array.from({ length: above - first }, (_, i) => first + i);
}
