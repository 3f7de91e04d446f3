import { createFamilyCritical, singleCritical } from './critical-values.ts';
import type { FamilyCritical } from './critical-values.ts';
import type { Difference } from './difference.ts';
import { halfWidth } from './variance-parts.ts';
import type { VariancePart } from './variance-parts.ts';

/** One-sided statements about one sample's D. */
export interface Bounds {
  /** Lower bound of D at alpha over all samples. */
  readonly lower: number;
  /** Upper bound of D at alpha for this sample alone. */
  readonly upper: number;
  /** Whether the lower bound lies above the threshold, stepping down from the clearest sample. */
  readonly above: boolean;
  /** Where the lower bound would lie with one vial more of the same scatter and mean; `null` unless the sample's own scatter decides. */
  readonly lowerWithOneMore: number | null;
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
  const lower = new Map<number, Pick<Bounds, 'lower' | 'lowerWithOneMore'>>();
  const above = new Set<number>();
  const all = critical(present.map(({ one }) => one));
  present.forEach(({ one, index }, i) => lower.set(index, lowerOf(one, i, all)));
  let left = present;
  for (;;) {
    const given = critical(left.map(({ one }) => one));
    const found = left.filter(({ one }, i) => lowerOf(one, i, given).lower > threshold);
    if (found.length === 0) break;
    left.forEach(({ one, index }, i) => {
      if (!found.some((entry) => entry.index === index)) return;
      above.add(index);
      // Of the first step's samples this is the bound for all at once again.
      lower.set(index, lowerOf(one, i, given));
    });
    left = left.filter(({ index }) => !above.has(index));
    if (left.length === 0) break;
  }
  return differences.map((one, index) =>
    one === null
      ? null
      : {
          ...lower.get(index)!,
          upper: one.value + halfWidth(one.partsAtMargin, (df) => singleCritical(alpha, df)),
          above: above.has(index),
        },
  );
}

/** `critical`: of the family in which the sample stands at `position`. */
function lowerOf(
  { value, parts, ownVariance }: Difference,
  position: number,
  critical: ReturnType<FamilyCritical>,
): Pick<Bounds, 'lower' | 'lowerWithOneMore'> {
  const below = (some: readonly VariancePart[]): number => value - halfWidth(some, (df) => critical(position, df));
  return { lower: below(parts), lowerWithOneMore: ownVariance ? below(withOneMore(parts)) : null };
}

/** The first part is s^2/n of the sample's own n vials, with n - 1 degrees of freedom. */
function withOneMore([own, ...others]: readonly VariancePart[]): readonly VariancePart[] {
  const { variance, df } = own!;
  return [{ variance: (variance * (df + 1)) / (df + 2), df: df + 1 }, ...others];
}
