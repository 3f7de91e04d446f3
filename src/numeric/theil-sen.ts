import { medianOfAll } from './median.ts';
import { normalQuantile } from './normal.ts';

export interface TheilSenLine {
  readonly slope: number;
  /** Median of y minus slope times median of x. */
  readonly intercept: number;
  readonly interval: readonly [number, number];
}

/**
 * Median of the slopes of all pairs with a rank interval from Kendall's tau, ties in y allowed for
 * (P. K. Sen, J. Am. Stat. Assoc. 63:1379, 1968). Time and memory grow with the square of the count.
 * `null` when no pair differs in x. Throws RangeError on unequal lengths.
 */
export function theilSen(x: readonly number[], y: readonly number[], level = 0.95): TheilSenLine | null {
  if (x.length !== y.length) throw new RangeError(`theilSen: ${x.length} x for ${y.length} y`);
  const slopes: number[] = [];
  for (let i = 0; i < x.length; i += 1) {
    for (let j = 0; j < i; j += 1) {
      if (x[i] !== x[j]) slopes.push((y[i]! - y[j]!) / (x[i]! - x[j]!));
    }
  }
  if (slopes.length === 0) return null;
  slopes.sort((first, second) => first - second);
  const slope = medianOfAll(slopes);
  const n = x.length;
  const tied = tieCounts(y).reduce((sum, t) => sum + t * (t - 1) * (2 * t + 5), 0);
  const sigma = Math.sqrt((n * (n - 1) * (2 * n + 5) - tied) / 18);
  const reach = normalQuantile(0.5 + level / 2) * sigma;
  const last = slopes.length - 1;
  const lower = Math.min(Math.max(Math.round((slopes.length - reach) / 2) - 1, 0), last);
  const upper = Math.min(Math.max(Math.round((slopes.length + reach) / 2), 0), last);
  return {
    slope,
    intercept: medianOfAll(y) - slope * medianOfAll(x),
    interval: [slopes[lower]!, slopes[upper]!],
  };
}

function tieCounts(values: readonly number[]): readonly number[] {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()];
}
