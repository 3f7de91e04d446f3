import { createRandom } from '../numeric/random.ts';

/** Up to this many values all orders are tried (8! = 40320); beyond, as many random ones, from a fixed seed. */
const exactUpTo = 8;
const randomOrders = 20_000;

export interface RankTest {
  /** Kendall's S: concordant less discordant pairs. */
  readonly s: number;
  /** Largest |S| there could be with these ties. */
  readonly most: number;
  /** Share of orders of y with an S as small or smaller: evidence that y falls with x. */
  readonly pFalling: number;
}

/** Permutation test of Kendall's S (ties allowed). Throws RangeError on unequal lengths. */
export function rankTest(x: readonly number[], y: readonly number[]): RankTest {
  if (x.length !== y.length) throw new RangeError(`rankTest: ${x.length} x for ${y.length} y`);
  const n = x.length;
  const s = kendallS(x, y);
  let count = 0;
  let atMost = 0;
  const visit = (order: readonly number[]): void => {
    count += 1;
    if (kendallS(x, order) <= s) atMost += 1;
  };
  if (n <= exactUpTo) {
    permute([...y], n, visit);
  } else {
    const random = createRandom('rank test');
    const order = [...y];
    visit(y);
    for (let round = 0; round < randomOrders; round += 1) {
      for (let i = n - 1; i > 0; i -= 1) swap(order, i, random.integer(i + 1));
      visit(order);
    }
  }
  return { s, most: (n * (n - 1)) / 2, pFalling: atMost / count };
}

export function kendallS(x: readonly number[], y: readonly number[]): number {
  let s = 0;
  for (let i = 0; i < x.length; i += 1) {
    for (let j = 0; j < i; j += 1) s += Math.sign(x[i]! - x[j]!) * Math.sign(y[i]! - y[j]!);
  }
  return s;
}

/** Heap's algorithm. */
function permute(values: number[], k: number, visit: (order: readonly number[]) => void): void {
  if (k <= 1) {
    visit(values);
    return;
  }
  for (let i = 0; i < k; i += 1) {
    permute(values, k - 1, visit);
    if (i < k - 1) swap(values, k % 2 === 0 ? i : 0, k - 1);
  }
}

function swap(values: number[], i: number, j: number): void {
  const kept = values[i]!;
  values[i] = values[j]!;
  values[j] = kept;
}
