/** Density of the standard normal distribution. */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
}

/**
 * P(Z <= z) of the standard normal distribution, each tail to about 1e-15 relative (1e-13 beyond |z| = 10).
 * Series of Abramowitz & Stegun 26.2.11 in the middle, their continued fraction 26.2.14 in the tails.
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  const size = Math.abs(z);
  if (size < 3) {
    const square = z * z;
    let term = z;
    let sum = z;
    for (let n = 3; Math.abs(term) > 1e-17 * Math.abs(sum); n += 2) {
      term *= square / n;
      sum += term;
    }
    return 0.5 + normalDensity(z) * sum;
  }
  if (size > 39) return z > 0 ? 1 : 0;
  let fraction = size;
  for (let n = size > 6 ? 40 : 120; n > 0; n -= 1) fraction = size + n / fraction;
  const tail = normalDensity(size) / fraction;
  return z > 0 ? 1 - tail : tail;
}

/**
 * z with P(Z <= z) = p; -Infinity at 0, Infinity at 1, NaN outside. Start of Abramowitz & Stegun 26.2.23
 * (error < 4.5e-4), then Halley's iteration to machine accuracy.
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) return Number.NaN;
  if (p === 0) return -Infinity;
  if (p === 1) return Infinity;
  if (p > 0.5) return -normalQuantile(1 - p);
  const t = Math.sqrt(-2 * Math.log(p));
  let z = -(t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308))));
  for (let round = 0; round < 3; round += 1) {
    const step = (normalCdf(z) - p) / normalDensity(z);
    z -= step / (1 + (z * step) / 2);
  }
  return z;
}
