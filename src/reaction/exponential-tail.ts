/** An exponential approach with a slow straight drift under it. */
export interface Tail {
  /** 1/s. */
  readonly rate: number;
  /** Length of the exponential part at the tail's start, and the drift a second, in the colours' units. */
  readonly size: number;
  readonly drift: number;
}

/**
 * The tail's rate, size and drift. Before the plateau is long, a slower approach and a drift look alike: the drift is held
 * near zero by what the scatter of a freer fit allows.
 *
 * @param timeS ascending, seconds; @param colours one a frame, of any number of channels
 * @param driftSd how far ageing may take the end over the tail, in the colours' units
 */
export function fitTail(timeS: readonly number[], colours: readonly (readonly number[])[], driftSd: number): Tail {
  const least = 1e-3 * timeS.length;
  const channels = colours[0]!.length;
  // a level, a size and a drift a channel, and the rate
  const df = Math.max(1, channels * timeS.length - (3 * channels + 1));
  const variance = fitTailWith(timeS, colours, least).cost / df;
  return fitTailWith(timeS, colours, Math.max(least, variance / driftSd ** 2));
}

interface PenalisedTail extends Tail {
  readonly cost: number;
}

function fitTailWith(timeS: readonly number[], colours: readonly (readonly number[])[], ridge: number): PenalisedTail {
  const begin = timeS[0]!;
  const span = timeS[timeS.length - 1]! - begin;
  const channels = colours[0]!.map((_, channel) => Float64Array.from(colours, (colour) => colour[channel]!));
  const straight = Float64Array.from(timeS, (time) => (time - begin) / span);
  const falling = new Float64Array(timeS.length);
  let best: PenalisedTail | null = null;
  for (let step = 0; step <= 40; step += 1) {
    const rate = (0.3 * 10 ** (step / 13)) / span;
    for (let index = 0; index < falling.length; index += 1) falling[index] = Math.exp(-rate * (timeS[index]! - begin));
    const solve = leastSquares3(falling, straight, ridge);
    let cost = 0;
    let size = 0;
    let drift = 0;
    for (const values of channels) {
      const solution = solve(values);
      if (solution === null) {
        cost = Infinity;
        break;
      }
      const [level, ofFalling, ofStraight] = solution;
      size += ofFalling ** 2;
      drift += ofStraight ** 2;
      cost += ridge * ofStraight ** 2;
      for (let index = 0; index < values.length; index += 1) {
        cost += (values[index]! - level - falling[index]! * ofFalling - straight[index]! * ofStraight) ** 2;
      }
    }
    if (best === null || cost < best.cost) best = { rate, size: Math.sqrt(size), drift: Math.sqrt(drift) / span, cost };
  }
  return best!;
}

/** Normal equations of a constant and two columns, solved for any values; a ridge keeps the second near zero where it cannot be told. */
function leastSquares3(
  first: Float64Array,
  second: Float64Array,
  ridge: number,
): (values: Float64Array) => readonly [number, number, number] | null {
  const count = first.length;
  const m = new Float64Array(9);
  for (let index = 0; index < count; index += 1) {
    const [a, b] = [first[index]!, second[index]!];
    m[0]! += 1;
    m[1]! += a;
    m[2]! += b;
    m[4]! += a * a;
    m[5]! += a * b;
    m[8]! += b * b;
  }
  [m[3], m[6], m[7]] = [m[1]!, m[2]!, m[5]!];
  m[8]! += ridge;
  m[4]! += 1e-9 * count;
  const minor = (a: number, b: number, c: number, d: number): number => m[a]! * m[d]! - m[b]! * m[c]!;
  const determinant = m[0]! * minor(4, 5, 7, 8) - m[1]! * minor(3, 5, 6, 8) + m[2]! * minor(3, 4, 6, 7);
  const v = new Float64Array(3);
  const replace = (column: number): number => {
    const n = m.map((value, index) => (index % 3 === column ? v[Math.floor(index / 3)]! : value));
    return (
      n[0]! * (n[4]! * n[8]! - n[5]! * n[7]!) -
      n[1]! * (n[3]! * n[8]! - n[5]! * n[6]!) +
      n[2]! * (n[3]! * n[7]! - n[4]! * n[6]!)
    );
  };
  return (values) => {
    if (!(Math.abs(determinant) > 1e-300)) return null;
    v.fill(0);
    for (let index = 0; index < count; index += 1) {
      v[0]! += values[index]!;
      v[1]! += first[index]! * values[index]!;
      v[2]! += second[index]! * values[index]!;
    }
    return [replace(0) / determinant, replace(1) / determinant, replace(2) / determinant];
  };
}
