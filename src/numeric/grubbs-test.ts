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
 * Grubbs' test for one outlier in a normal sample, at either end (NIST/SEMATECH e-Handbook 1.3.5.17.1; critical value at
 * alpha / 2n). `null` below three values or without scatter.
 */
export function grubbsTest(values: readonly number[], alpha: number): GrubbsTest | null {
  const n = values.length;
  if (n < 3) return null;
  const { mean, variance } = sampleMoments(values);
  if (!(variance! > 0)) return null;
  const distances = values.map((value) => Math.abs(value - mean) / Math.sqrt(variance!));
  const index = distances.reduce((best, distance, i) => (distance > distances[best]! ? i : best), 0);
  const critical = criticalDistance(n, alpha / (2 * n));
  return { statistic: distances[index]!, critical, index, outlier: distances[index]! > critical };
}

/** (n - 1) / sqrt(n) * sqrt(t^2 / (n - 2 + t^2)), t with n - 2 degrees of freedom and upper tail `tail`. */
function criticalDistance(n: number, tail: number): number {
  const t = studentTQuantile(1 - tail, n - 2);
  return ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
}
