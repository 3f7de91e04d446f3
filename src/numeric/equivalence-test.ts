import { studentTCdf, studentTQuantile } from './student-t.ts';
import { welchTest } from './welch.ts';

export interface EquivalenceTest {
  readonly difference: number;
  readonly df: number;
  /** p of "the difference is at or below the lower margin" and of "at or above the upper". */
  readonly pLower: number;
  readonly pUpper: number;
  /** The larger of the two: small means that the difference lies inside the margins. */
  readonly p: number;
  /** Inside the margins exactly when p < alpha: level 1 - 2 alpha. */
  readonly interval: readonly [number, number];
}

/**
 * Two one-sided tests of equivalence with Welch's variance (D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15:657, 1987).
 * `null` where {@link welchTest} is.
 */
export function equivalenceTest(
  a: readonly number[],
  b: readonly number[],
  margins: readonly [number, number],
  alpha = 0.05,
): EquivalenceTest | null {
  const welch = welchTest(a, b);
  if (welch === null) return null;
  const { difference, standardError, df } = welch;
  const pLower = studentTCdf(-(difference - margins[0]) / standardError, df);
  const pUpper = studentTCdf((difference - margins[1]) / standardError, df);
  const half = studentTQuantile(1 - alpha, df) * standardError;
  return {
    difference,
    df,
    pLower,
    pUpper,
    p: Math.max(pLower, pUpper),
    interval: [difference - half, difference + half],
  };
}
