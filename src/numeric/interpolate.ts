/**
 * Linear interpolation on an ascending grid; outside it the end values hold.
 * Throws RangeError on an empty grid or unequal lengths.
 */
export function interpolate(grid: ArrayLike<number>, values: ArrayLike<number>, at: number): number {
  const last = grid.length - 1;
  if (last < 0 || values.length !== grid.length) {
    throw new RangeError(`interpolate: ${grid.length} grid points for ${values.length} values`);
  }
  if (at <= grid[0]!) return values[0]!;
  if (at >= grid[last]!) return values[last]!;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (grid[middle]! <= at) low = middle;
    else high = middle;
  }
  const share = (at - grid[low]!) / (grid[high]! - grid[low]!);
  return values[low]! + share * (values[high]! - values[low]!);
}
