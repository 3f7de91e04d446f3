import { incompleteBeta } from './incomplete-beta.ts';
import { invertMonotone } from './invert-monotone.ts';
import { normalCdf, normalQuantile } from './normal.ts';

/** P(T <= t), Student's t with df > 0 degrees of freedom (not necessarily whole; Infinity: normal). */
export function studentTCdf(t: number, df: number): number {
  if (df === Infinity) return normalCdf(t);
  if (!(df > 0) || Number.isNaN(t)) return Number.NaN;
  if (t === -Infinity) return 0;
  if (t === Infinity) return 1;
  const square = t * t;
  const tail = incompleteBeta(df / (df + square), df / 2, 0.5, square / (df + square)).lower / 2;
  return t > 0 ? 1 - tail : tail;
}

/** t with P(T <= t) = p; infinite at 0 and 1, NaN for impossible arguments. */
export function studentTQuantile(p: number, df: number): number {
  if (df === Infinity) return normalQuantile(p);
  if (!(df > 0) || !(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0) return -Infinity;
  if (p === 1) return Infinity;
  if (p === 0.5) return 0;
  if (p > 0.5) return -studentTQuantile(1 - p, df);
  // In logarithms of -t: even the Cauchy tail of df = 1 or less is then nearly straight.
  const logP = Math.log(p);
  const shortfall = (logSize: number): number => logP - Math.log(studentTCdf(-Math.exp(logSize), df));
  let upper = 1;
  while (shortfall(upper) < 0 && upper < 600) upper *= 2;
  return -Math.exp(invertMonotone(shortfall, -45, upper));
}
