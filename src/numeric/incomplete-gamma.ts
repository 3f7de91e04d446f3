import { logGamma } from './log-gamma.ts';
import { nonZero } from './non-zero.ts';

/** Terms allowed; the number needed grows as the root of `a`, so this covers a up to about 1e8. */
const mostTerms = 100_000;

/** Both tails of the gamma distribution with shape a > 0 at x >= 0: P + Q = 1, each accurate where it is small. */
export function incompleteGamma(a: number, x: number): { readonly lower: number; readonly upper: number } {
  if (!(a > 0) || !(x >= 0)) return { lower: Number.NaN, upper: Number.NaN };
  if (x === 0) return { lower: 0, upper: 1 };
  if (x === Infinity) return { lower: 1, upper: 0 };
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    const lower = front * lowerSeries(a, x);
    return { lower, upper: 1 - lower };
  }
  const upper = front * upperFraction(a, x);
  return { lower: 1 - upper, upper };
}

/** Abramowitz & Stegun 6.5.29. */
function lowerSeries(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < mostTerms; n += 1) {
    term *= x / (a + n);
    sum += term;
    if (term < sum * 1e-17) break;
  }
  return sum;
}

/** Abramowitz & Stegun 6.5.31, even part of the continued fraction, by Lentz's method. */
function upperFraction(a: number, x: number): number {
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let value = d;
  for (let n = 1; n < mostTerms; n += 1) {
    const numerator = -n * (n - a);
    b += 2;
    d = 1 / nonZero(numerator * d + b);
    c = nonZero(b + numerator / c);
    const factor = c * d;
    value *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  return value;
}
