import type { Random } from './random.ts';

/**
 * Draws about zero whose mean products are those of the sum z_j component_j with independent z_j of unit variance, exactly and not
 * only in the mean: sum over draws of d d' / count = sum over components of c c'. Otherwise like draws from that normal law. So many
 * draws of chance would show a standard deviation to 1 / sqrt(2 count) only.
 * @param components of equal length, one standard deviation each; at most `count` of them
 * @throws RangeError for more components than draws
 */
export function exactDraws(
  components: readonly ArrayLike<number>[],
  count: number,
  random: Random,
): readonly (readonly number[])[] {
  if (components.length > count) throw new RangeError(`exactDraws: ${components.length} components, ${count} draws`);
  const scores = orthonormal(components.length, count, random);
  const length = components[0]?.length ?? 0;
  return Array.from({ length: count }, (_, draw) =>
    Array.from({ length }, (__, at) =>
      components.reduce((sum, component, j) => sum + Math.sqrt(count) * scores[j]![draw]! * component[at]!, 0),
    ),
  );
}

/** `many` vectors of `length` in random directions, orthogonal and of unit length: Gram and Schmidt, twice for rounding's sake. */
function orthonormal(many: number, length: number, random: Random): readonly Float64Array[] {
  const made: Float64Array[] = [];
  while (made.length < many) {
    const next = Float64Array.from({ length }, () => random.normal());
    for (const before of [...made, ...made]) {
      let along = 0;
      for (let at = 0; at < length; at += 1) along += next[at]! * before[at]!;
      for (let at = 0; at < length; at += 1) next[at]! -= along * before[at]!;
    }
    const size = Math.hypot(...next);
    // as good as never: a direction that the others hold already
    if (size > 1e-6) made.push(next.map((value) => value / size));
  }
  return made;
}
