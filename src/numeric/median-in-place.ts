/** Up to so many values an insertion is the quickest sort. */
const fewest = 16;

/**
 * Median of the first `count` values, of an even number the mean of the two middle ones; NaN of none. The values (finite) are
 * sorted in their place; beyond sixteen the list must hold no others.
 */
export function medianInPlace(values: Float64Array, count: number): number {
  if (count === 0) return NaN;
  if (count > fewest) values.sort();
  else {
    for (let index = 1; index < count; index += 1) {
      const value = values[index]!;
      let place = index;
      for (; place > 0 && values[place - 1]! > value; place -= 1) values[place] = values[place - 1]!;
      values[place] = value;
    }
  }
  const half = count >> 1;
  return count % 2 === 1 ? values[half]! : (values[half - 1]! + values[half]!) / 2;
}
