import { incompleteBeta } from './incomplete-beta.ts';
import { invertMonotone } from './invert-monotone.ts';

/** x with P(X <= x) = p; 0 at p = 0, Infinity at p = 1, NaN for impossible arguments. */
export function fQuantile(p: number, df1: number, df2: number): number {
  if (!(df1 > 0) || !(df2 > 0) || !(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0) return 0;
  if (p === 1) return Infinity;
  const logP = Math.log(p);
  const logQ = Math.log1p(-p);
  const excess = (logX: number): number => {
    const { lower, upper } = tails(Math.exp(logX), df1, df2);
    const value = p < 0.5 ? Math.log(lower) - logP : logQ - Math.log(upper);
    return Math.min(Math.max(value, -1e6), 1e6);
  };
  let lower = -1;
  let upper = 1;
  while (excess(lower) > 0 && lower > -700) lower *= 2;
  while (excess(upper) < 0 && upper < 700) upper *= 2;
  return Math.exp(invertMonotone(excess, Math.max(lower, -700), Math.min(upper, 700)));
}

function tails(x: number, df1: number, df2: number): { readonly lower: number; readonly upper: number } {
  if (x <= 0) return { lower: 0, upper: 1 };
  if (x === Infinity) return { lower: 1, upper: 0 };
  const share = df1 * x + df2;
  return incompleteBeta((df1 * x) / share, df1 / 2, df2 / 2, df2 / share);
}
