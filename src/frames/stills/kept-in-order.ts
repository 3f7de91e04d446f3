/**
 * Which of the values to keep so that they rise strictly and as many as possible stay (longest increasing subsequence,
 * patience sorting). One picture with a wrong clock then costs itself, not all that follow it.
 */
export function keptInOrder(values: readonly number[]): readonly boolean[] {
  const tails: number[] = [];
  const before: number[] = [];
  for (const [i, value] of values.entries()) {
    let low = 0;
    let high = tails.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (values[tails[middle]!]! < value) low = middle + 1;
      else high = middle;
    }
    before.push(low === 0 ? -1 : tails[low - 1]!);
    tails[low] = i;
  }
  const kept = values.map(() => false);
  for (let i = tails.at(-1) ?? -1; i >= 0; i = before[i]!) kept[i] = true;
  return kept;
}
