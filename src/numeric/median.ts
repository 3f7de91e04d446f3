/**
 * Median of a column with gaps: `null` and values that are not finite are left out; of an even number the mean of the two
 * middle ones; `null` of none.
 */
export function median(values: readonly (number | null)[]): number | null {
  const known = values.filter((value): value is number => Number.isFinite(value));
  return known.length === 0 ? null : medianOfAll(known);
}

/** The same of numbers that are all known, for loops over frames; NaN of none. */
export function medianOfAll(values: readonly number[]): number {
  const count = values.length;
  if (count <= few.length) return medianOfFew(values, count);
  // Numbers in a typed array are sorted several times quicker than in a list, and a few quickest by hand.
  return middleOf(new Float64Array(values).sort(), count);
}

/** The same of the first `count`, at most sixteen, without any memory of its own. */
export function medianOfFew(values: ArrayLike<number>, count: number): number {
  return count === 0 ? NaN : middleOf(sortFew(values, count), count);
}

/** The upper of the two middle ones of an even number: always one of the values. For numbers that are all known; NaN of none. */
export function upperMedian(values: readonly number[]): number {
  return new Float64Array(values).sort()[values.length >> 1] ?? NaN;
}

function middleOf(sorted: Float64Array, count: number): number {
  const half = count >> 1;
  return count % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

const few = new Float64Array(16);

function sortFew(values: ArrayLike<number>, count: number): Float64Array {
  for (let index = 0; index < count; index += 1) {
    const value = values[index]!;
    let place = index;
    for (; place > 0 && few[place - 1]! > value; place -= 1) few[place] = few[place - 1]!;
    few[place] = value;
  }
  return few;
}
