/** How many times the larger one is the smaller; at least 1. */
export const ratio = (first: number, second: number): number => Math.max(first / second, second / first);

/** The upper median of at least one value. */
export const median = (values: readonly number[]): number =>
  [...values].sort((first, second) => first - second)[values.length >> 1]!;
