/** Median; of an even number the mean of the two middle ones; NaN of none. */
export function median(values: readonly number[]): number {
  const count = values.length;
  if (count <= few.length) return medianOfFew(values, count);
  // Numbers in a typed array are sorted several times quicker than in a list, and a few quickest by hand.
  return middleOf(new Float64Array(values).sort(), count);
}

/** Same of the first `count`, at most sixteen, without any memory of its own. */
export function medianOfFew(values: ArrayLike<number>, count: number): number {
  return count === 0 ? NaN : middleOf(sortFew(values, count), count);
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

/** Standard deviation from the median absolute deviation (normal noise); NaN of none. */
export function robustSd(values: readonly number[]): number {
  const middle = median(values);
  return 1.4826 * median(values.map((value) => Math.abs(value - middle)));
}

/** Deviation of each value from the mean of its two neighbours; `null` at the ends and beside unknowns. */
export function roughness(values: readonly (number | null)[]): (number | null)[] {
  return values.map((value, index) => {
    const before = values[index - 1] ?? null;
    const after = values[index + 1] ?? null;
    return value === null || before === null || after === null ? null : value - (before + after) / 2;
  });
}

/** Standard deviation of frame-to-frame noise, from {@link roughness} (whose variance is 1.5 times as large); 0 of too few values. */
export function noiseSd(values: readonly (number | null)[]): number {
  const rough = roughness(values).filter((value) => value !== null);
  return rough.length < 3 ? 0 : robustSd(rough) / Math.sqrt(1.5);
}
