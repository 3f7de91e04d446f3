/**
 * Median of the first `count` entries, which are put into another order (Hoare's selection); of an even number the mean of the
 * two middle ones, NaN of none. Apart from numeric's: every frame asks for those of thousands of pixels, and no memory is taken.
 */
export function medianInPlace(values: Float64Array, count: number): number {
  if (count === 0) return NaN;
  const half = count >> 1;
  const upper = select(values, half, count);
  if (count % 2 === 1) return upper;
  let lower = values[0]!;
  for (let index = 1; index < half; index += 1) if (values[index]! > lower) lower = values[index]!;
  return (lower + upper) / 2;
}

/** Brings the entry of the given rank to its place; smaller ones end up before it. */
function select(values: Float64Array, rank: number, count: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    let left = low;
    let right = high;
    while (left <= right) {
      while (values[left]! < pivot) left += 1;
      while (values[right]! > pivot) right -= 1;
      if (left <= right) {
        const held = values[left]!;
        values[left] = values[right]!;
        values[right] = held;
        left += 1;
        right -= 1;
      }
    }
    if (rank <= right) high = right;
    else if (rank >= left) low = left;
    else break;
  }
  return values[rank]!;
}
