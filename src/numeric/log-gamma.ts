/**
 * Remainder of Stirling's series, ln Gamma(x) - [(x - 1/2) ln x - x + ln(2 pi)/2], for x >= 10.
 * Abramowitz & Stegun 6.1.41; seven terms leave less than 1e-16 there.
 */
function stirlingRemainder(x: number): number {
  const square = 1 / (x * x);
  return (
    (1 / 12 -
      square *
        (1 / 360 -
          square * (1 / 1260 - square * (1 / 1680 - square * (1 / 1188 - square * (691 / 360360 - square / 156)))))) /
    x
  );
}

const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

/** ln Gamma(x) for x > 0 (NaN otherwise): Stirling's series after lifting x to 10 or more by Gamma(x+1) = x Gamma(x). */
export function logGamma(x: number): number {
  if (!(x > 0)) return Number.NaN;
  let product = 1;
  let lifted = x;
  while (lifted < 10) {
    product *= lifted;
    lifted += 1;
  }
  return (lifted - 0.5) * Math.log(lifted) - lifted + halfLogTwoPi + stirlingRemainder(lifted) - Math.log(product);
}

/** ln B(a, b) for a, b > 0, without the cancellation of three large logarithms when one of them is large. */
export function logBeta(a: number, b: number): number {
  const small = Math.min(a, b);
  const large = Math.max(a, b);
  if (large < 10) return logGamma(a) + logGamma(b) - logGamma(a + b);
  const sum = large + small;
  const difference =
    -(large - 0.5) * Math.log1p(small / large) -
    small * Math.log(sum) +
    small +
    stirlingRemainder(large) -
    stirlingRemainder(sum);
  return logGamma(small) + difference;
}
