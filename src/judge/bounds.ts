import { createFamilyCritical, singleCritical } from './critical-values.ts';
import type { FamilyCritical } from './critical-values.ts';
import type { Difference } from './difference.ts';
import { halfWidth } from './variance-parts.ts';

/** One-sided statements about one sample's D. */
export interface Bounds {
  /** Lower bound of D at alpha over all samples. */
  readonly lower: number;
  /** Upper bound of D at alpha for this sample alone. */
  readonly upper: number;
  /** Whether the lower bound lies above the threshold, stepping down from the clearest sample. */
  readonly above: boolean;
}

/**
 * Bounds of the samples that have a D. `reacted` is tested stepwise (closed testing: the clearest sample first, against all;
 * once it is found above the threshold the next is tested against those left), which keeps alpha over all samples. A sample
 * found above only by a later step has that step's bound; the others keep the bound that holds for all at once.
 * `critical` may be handed in to keep its values from run to run.
 */
export function boundsOf(
  differences: readonly (Difference | null)[],
  alpha: number,
  threshold: number,
  critical: FamilyCritical = createFamilyCritical(alpha),
): readonly (Bounds | null)[] {
  const present = differences.flatMap((one, index) => (one === null ? [] : [{ one, index }]));
  const lower = new Map<number, number>();
  const above = new Set<number>();
  const all = critical(present.map(({ one }) => one));
  present.forEach(({ one, index }, i) => lower.set(index, one.value - halfWidth(one.parts, (df) => all(i, df))));
  let left = present;
  for (;;) {
    const given = critical(left.map(({ one }) => one));
    const found = left.filter(({ one }, i) => one.value - halfWidth(one.parts, (df) => given(i, df)) > threshold);
    if (found.length === 0) break;
    left.forEach(({ one, index }, i) => {
      if (!found.some((entry) => entry.index === index)) return;
      above.add(index);
      // Of the first step's samples this is the bound for all at once again.
      lower.set(index, one.value - halfWidth(one.parts, (df) => given(i, df)));
    });
    left = left.filter(({ index }) => !above.has(index));
    if (left.length === 0) break;
  }
  return differences.map((one, index) =>
    one === null
      ? null
      : {
          lower: lower.get(index)!,
          upper: one.value + halfWidth(one.partsAtMargin, (df) => singleCritical(alpha, df)),
          above: above.has(index),
        },
  );
}
