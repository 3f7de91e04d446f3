/** How many times the larger one is the smaller; at least 1. */
export const ratio = (first: number, second: number): number => Math.max(first / second, second / first);
