import { incompleteGamma } from './incomplete-gamma.ts';
import { invertMonotone } from './invert-monotone.ts';

/** x with P(X <= x) = p; 0 at p = 0, Infinity at p = 1, NaN for impossible arguments. */
export function chiSquareQuantile(p: number, df: number): number {
  if (!(df > 0) || !(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0) return 0;
  if (p === 1) return Infinity;
  const logP = Math.log(p);
  const logQ = Math.log1p(-p);
  // The smaller tail is the accurate one; logarithms keep the search nearly straight.
  const excess = (logX: number): number => {
    const { lower, upper } = incompleteGamma(df / 2, Math.exp(logX) / 2);
    return p < 0.5 ? Math.log(lower) - logP : logQ - Math.log(upper);
  };
  const bounded = (logX: number): number => Math.min(Math.max(excess(logX), -1e6), 1e6);
  let lower = Math.log(df) - 1;
  let upper = Math.log(df) + 1;
  while (bounded(lower) > 0 && lower > -700) lower -= 4 + 2 * Math.abs(lower);
  while (bounded(upper) < 0 && upper < 700) upper += 1;
  return Math.exp(invertMonotone(bounded, lower, upper));
}
