import { sampleMoments } from './sample-moments.ts';
import { studentTQuantile } from './student-t.ts';

export interface GrubbsTest {
  /** Largest distance from the mean in standard deviations. */
  readonly statistic: number;
  readonly critical: number;
  readonly index: number;
  readonly outlier: boolean;
}

/**
 * Grubbs' test for one outlier in a normal sample (NIST/SEMATECH e-Handbook 1.3.5.17.1). `one`: only the stated end is
 * suspected (critical value at alpha / n), `two`: either (alpha / 2n). `null` below three values or without scatter.
 */
export function grubbsTest(
  values: readonly number[],
  options: { readonly alpha?: number; readonly suspect?: 'either' | 'largest' | 'smallest' } = {},
): GrubbsTest | null {
  const { alpha = 0.05, suspect = 'either' } = options;
  const n = values.length;
  if (n < 3) return null;
  const { mean, variance } = sampleMoments(values);
  if (!(variance! > 0)) return null;
  const sd = Math.sqrt(variance!);
  const sign = suspect === 'largest' ? 1 : -1;
  const distances = values.map((value) =>
    suspect === 'either' ? Math.abs(value - mean) / sd : (sign * (value - mean)) / sd,
  );
  const index = distances.reduce((best, distance, i) => (distance > distances[best]! ? i : best), 0);
  const critical = criticalDistance(n, suspect === 'either' ? alpha / (2 * n) : alpha / n);
  return { statistic: distances[index]!, critical, index, outlier: distances[index]! > critical };
}

export interface DeviateTest {
  /** Statistic and critical value of each removal, up to the most outliers asked for. */
  readonly statistics: readonly number[];
  readonly criticals: readonly number[];
  /** Indices of the values found outlying. */
  readonly outliers: readonly number[];
}

/**
 * Generalised extreme studentised deviate test for up to `most` outliers (B. Rosner, Technometrics 25:165, 1983;
 * NIST/SEMATECH e-Handbook 1.3.5.17.3): unlike repeated single tests, several outliers cannot hide one another.
 */
export function generalisedDeviateTest(values: readonly number[], most: number, alpha = 0.05): DeviateTest {
  const left = values.map((_, i) => i);
  const removed: number[] = [];
  const statistics: number[] = [];
  const criticals: number[] = [];
  let found = 0;
  for (let round = 1; round <= most && left.length >= 3; round += 1) {
    const test = grubbsTest(
      left.map((i) => values[i]!),
      { alpha },
    );
    if (test === null) break;
    statistics.push(test.statistic);
    criticals.push(test.critical);
    removed.push(left[test.index]!);
    left.splice(test.index, 1);
    if (test.outlier) found = round;
  }
  return { statistics, criticals, outliers: removed.slice(0, found) };
}

/** (n - 1) / sqrt(n) * sqrt(t^2 / (n - 2 + t^2)), t with n - 2 degrees of freedom and upper tail `tail`. */
function criticalDistance(n: number, tail: number): number {
  const t = studentTQuantile(1 - tail, n - 2);
  return ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
}
