/**
 * The x in [lower, upper] at which a continuous, increasing function is zero, by the Illinois variant of regula falsi
 * with bisection as its safeguard. Both ends finite; where the function has one sign throughout, the nearer end.
 */
export function invertMonotone(value: (x: number) => number, lower: number, upper: number, tolerance = 1e-14): number {
  let a = lower;
  let b = upper;
  let atA = value(a);
  let atB = value(b);
  if (!(atA < 0)) return a;
  if (!(atB > 0)) return b;
  let side = 0;
  for (let round = 0; round < 300; round += 1) {
    const width = b - a;
    if (width <= tolerance * Math.max(Math.abs(a), Math.abs(b))) break;
    let x = round % 4 === 3 ? a + width / 2 : a - (atA * width) / (atB - atA);
    if (!(x > a && x < b)) x = a + width / 2;
    if (x === a || x === b) break;
    const atX = value(x);
    if (atX === 0) return x;
    if (atX < 0) {
      a = x;
      atA = atX;
      if (side === -1) atB /= 2;
      side = -1;
    } else {
      b = x;
      atB = atX;
      if (side === 1) atA /= 2;
      side = 1;
    }
  }
  return a + (b - a) / 2;
}
