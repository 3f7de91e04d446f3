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
  const rates = ratesTried(timeS, colours);
  // a level, a size and a drift a channel, and the rate
  const df = Math.max(1, channels * timeS.length - (3 * channels + 1));
  const variance = fitTailWith(rates, least).cost / df;
  return fitTailWith(rates, Math.max(least, variance / driftSd ** 2));
}

interface PenalisedTail extends Tail {
  readonly cost: number;
}

/** What a fit with any penalty needs: the columns of every rate tried, and their sums of products. */
interface RatesTried {
  readonly span: number;
  /** Values by channel. */
  readonly channels: readonly Float64Array[];
  readonly straight: Float64Array;
  readonly tried: readonly {
    readonly rate: number;
    readonly falling: Float64Array;
    /** Upper triangle of the normal equations of a constant and the two columns: 1 1, 1 a, 1 b, a a, a b, b b. */
    readonly products: readonly [number, number, number, number, number, number];
    /** Their right sides, by channel. */
    readonly sides: readonly (readonly [number, number, number])[];
  }[];
}

const mostRates = 40;

function ratesTried(timeS: readonly number[], colours: readonly (readonly number[])[]): RatesTried {
  const begin = timeS[0]!;
  const span = timeS[timeS.length - 1]! - begin;
  const channels = colours[0]!.map((_, channel) => Float64Array.from(colours, (colour) => colour[channel]!));
  const since = Float64Array.from(timeS, (time) => time - begin);
  const straight = since.map((time) => time / span);
  const tried = Array.from({ length: mostRates + 1 }, (_, step) => {
    const rate = (0.3 * 10 ** (step / 13)) / span;
    const falling = fallingAt(since, rate);
    const products = productsOf(falling, straight);
    return { rate, falling, products, sides: channels.map((values) => sidesOf(falling, straight, values)) };
  });
  return { span, channels, straight, tried };
}

function fallingAt(since: Float64Array, rate: number): Float64Array {
  const falling = new Float64Array(since.length);
  for (let index = 0; index < falling.length; index += 1) falling[index] = Math.exp(-rate * since[index]!);
  return falling;
}

function productsOf(first: Float64Array, second: Float64Array): RatesTried['tried'][number]['products'] {
  let [ones, a1, b1, aa, ab, bb] = [0, 0, 0, 0, 0, 0];
  for (let index = 0; index < first.length; index += 1) {
    const a = first[index]!;
    const b = second[index]!;
    ones += 1;
    a1 += a;
    b1 += b;
    aa += a * a;
    ab += a * b;
    bb += b * b;
  }
  return [ones, a1, b1, aa, ab, bb];
}

function sidesOf(first: Float64Array, second: Float64Array, values: Float64Array): readonly [number, number, number] {
  let [v1, va, vb] = [0, 0, 0];
  for (let index = 0; index < first.length; index += 1) {
    const value = values[index]!;
    v1 += value;
    va += first[index]! * value;
    vb += second[index]! * value;
  }
  return [v1, va, vb];
}

function fitTailWith({ span, channels, straight, tried }: RatesTried, ridge: number): PenalisedTail {
  let best: PenalisedTail | null = null;
  for (const { rate, falling, products, sides } of tried) {
    let cost = 0;
    let size = 0;
    let drift = 0;
    for (const [channel, values] of channels.entries()) {
      const solution = leastSquares3(products, sides[channel]!, falling.length, ridge);
      if (solution === null) {
        cost = Infinity;
        break;
      }
      const [, ofFalling, ofStraight] = solution;
      size += ofFalling ** 2;
      drift += ofStraight ** 2;
      cost += ridge * ofStraight ** 2;
      cost = addSquares(cost, values, falling, straight, solution);
    }
    if (best === null || cost < best.cost) best = { rate, size: Math.sqrt(size), drift: Math.sqrt(drift) / span, cost };
  }
  return best!;
}

/** The cost with the squares of the residuals added one by one. */
function addSquares(
  cost: number,
  values: Float64Array,
  falling: Float64Array,
  straight: Float64Array,
  [level, ofFalling, ofStraight]: readonly [number, number, number],
): number {
  let sum = cost;
  for (let index = 0; index < values.length; index += 1) {
    const left = values[index]! - level - falling[index]! * ofFalling - straight[index]! * ofStraight;
    sum += left ** 2;
  }
  return sum;
}

/** Normal equations of a constant and two columns, solved; a ridge keeps the second near zero where it cannot be told. */
function leastSquares3(
  [ones, a1, b1, aa, ab, bb]: RatesTried['tried'][number]['products'],
  v: readonly [number, number, number],
  count: number,
  ridge: number,
): readonly [number, number, number] | null {
  const m = [ones, a1, b1, a1, aa + 1e-9 * count, ab, b1, ab, bb + ridge] as const;
  const minor = (a: number, b: number, c: number, d: number): number => m[a]! * m[d]! - m[b]! * m[c]!;
  const determinant = m[0] * minor(4, 5, 7, 8) - m[1] * minor(3, 5, 6, 8) + m[2] * minor(3, 4, 6, 7);
  if (!(Math.abs(determinant) > 1e-300)) return null;
  const replace = (column: number): number => {
    const n = m.map((value, index) => (index % 3 === column ? v[Math.floor(index / 3)]! : value));
    return (
      n[0]! * (n[4]! * n[8]! - n[5]! * n[7]!) -
      n[1]! * (n[3]! * n[8]! - n[5]! * n[6]!) +
      n[2]! * (n[3]! * n[7]! - n[4]! * n[6]!)
    );
  };
  return [replace(0) / determinant, replace(1) / determinant, replace(2) / determinant];
}
