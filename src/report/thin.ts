/**
 * Indices of 0..count-1 to draw, first and last among them: two thirds of `most` evenly spread, the rest geometrically,
 * so that a quick beginning and a logarithmic axis keep their points.
 */
export function thinIndices(count: number, most: number): readonly number[] {
  if (count <= most) return Array.from({ length: count }, (_, index) => index);
  const even = Math.ceil((2 * most) / 3);
  const early = most - even;
  const kept = new Set<number>();
  for (let index = 0; index < even; index += 1) kept.add(Math.round((index * (count - 1)) / (even - 1)));
  for (let index = 0; index < early; index += 1) kept.add(Math.round(count ** (index / early)) - 1);
  return [...kept].sort((first, second) => first - second);
}
