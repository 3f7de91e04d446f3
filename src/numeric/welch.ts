import { sampleMoments } from './sample-moments.ts';
import { studentTCdf, studentTQuantile } from './student-t.ts';

export interface WelchTest {
  /** Mean of a minus mean of b. */
  readonly difference: number;
  readonly standardError: number;
  readonly statistic: number;
  /** Welch-Satterthwaite degrees of freedom. */
  readonly df: number;
  readonly pTwoSided: number;
  /** P under equality of a difference as large as this or larger. */
  readonly pGreater: number;
  readonly pLess: number;
  readonly interval: readonly [number, number];
}

/**
 * Welch's t test of two means with unequal variances (B. L. Welch, Biometrika 34:28, 1947).
 * `null` with fewer than two values in a sample or no scatter in either: the variance is then unknown.
 */
export function welchTest(a: readonly number[], b: readonly number[], level = 0.95): WelchTest | null {
  if (a.length < 2 || b.length < 2) return null;
  const first = sampleMoments(a);
  const second = sampleMoments(b);
  const partA = first.variance! / first.count;
  const partB = second.variance! / second.count;
  const variance = partA + partB;
  if (!(variance > 0)) return null;
  const df = variance ** 2 / (partA ** 2 / (first.count - 1) + partB ** 2 / (second.count - 1));
  const difference = first.mean - second.mean;
  const standardError = Math.sqrt(variance);
  const statistic = difference / standardError;
  const half = studentTQuantile(0.5 + level / 2, df) * standardError;
  return {
    difference,
    standardError,
    statistic,
    df,
    pTwoSided: 2 * studentTCdf(-Math.abs(statistic), df),
    pGreater: studentTCdf(-statistic, df),
    pLess: studentTCdf(statistic, df),
    interval: [difference - half, difference + half],
  };
}
