/** At most `most` indices of 0..count-1, evenly spread, first and last among them. */
export function thinIndices(count: number, most: number): readonly number[] {
  if (count <= most) return Array.from({ length: count }, (_, index) => index);
  return Array.from({ length: most }, (_, index) => Math.round((index * (count - 1)) / (most - 1)));
}
