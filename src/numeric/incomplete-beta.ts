import { logBeta } from './log-gamma.ts';
import { nonZero } from './non-zero.ts';

/** Terms allowed; the number needed grows as the root of the larger shape. */
const mostTerms = 100_000;

/**
 * Regularised incomplete beta function I_x(a, b) and its complement, a, b > 0, 0 <= x <= 1.
 * `y` is 1 - x, given when the caller knows it more accurately than the subtraction would.
 * Continued fraction of the NIST Digital Library of Mathematical Functions, 8.17.22, by Lentz's method.
 */
export function incompleteBeta(
  x: number,
  a: number,
  b: number,
  y: number = 1 - x,
): { readonly lower: number; readonly upper: number } {
  if (!(a > 0) || !(b > 0) || !(x >= 0) || !(y >= 0)) return { lower: Number.NaN, upper: Number.NaN };
  if (x === 0) return { lower: 0, upper: 1 };
  if (y === 0) return { lower: 1, upper: 0 };
  const logX = x > 0.5 ? Math.log1p(-y) : Math.log(x);
  const logY = y > 0.5 ? Math.log1p(-x) : Math.log(y);
  const front = Math.exp(a * logX + b * logY - logBeta(a, b));
  if (x < (a + 1) / (a + b + 2)) {
    const lower = (front * fraction(x, a, b)) / a;
    return { lower, upper: 1 - lower };
  }
  const upper = (front * fraction(y, b, a)) / b;
  return { lower: 1 - upper, upper };
}

function fraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let value = d;
  for (let m = 1; m < mostTerms; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    value *= c * d;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    const factor = c * d;
    value *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  return value;
}
