/**
 * Number of independent values whose mean is as certain as that of n successive values of an AR(1) series with lag-one
 * correlation rho: n / (1 + 2 sum (1 - k/n) rho^k), k = 1..n-1. Throws RangeError unless n >= 1 and |rho| < 1.
 */
export function effectiveSampleSize(n: number, rho: number): number {
  if (!(Number.isInteger(n) && n >= 1) || !(Math.abs(rho) < 1)) {
    throw new RangeError(`effectiveSampleSize: n ${n}, rho ${rho}`);
  }
  // Closed form of the sum.
  const sum = (rho / (1 - rho)) * (n - (1 - rho ** n) / (1 - rho));
  return n / (1 + (2 * sum) / n);
}
