/** Damerau-Levenshtein distance (adjacent swaps count one), optimal string alignment form. */
function editDistance(first: string, second: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: second.length + 1 }, (_, column) => column);
  for (let row = 1; row <= first.length; row += 1) {
    const current = [row];
    for (let column = 1; column <= second.length; column += 1) {
      const same = first[row - 1] === second[column - 1];
      let cost = Math.min(last[column]! + 1, current[column - 1]! + 1, last[column - 1]! + (same ? 0 : 1));
      const swapped =
        row > 1 && column > 1 && first[row - 1] === second[column - 2] && first[row - 2] === second[column - 1];
      if (swapped) cost = Math.min(cost, beforeLast[column - 2]! + 1);
      current.push(cost);
    }
    beforeLast = last;
    last = current;
  }
  return last[second.length]!;
}

/**
 * The candidate most like `word`, letter case aside, or `null` when none is near.
 * Near: at most a third of the longer word's letters differ, or one word begins with the other.
 */
export function nearest(word: string, candidates: readonly string[]): string | null {
  const wanted = word.slice(0, 100).toLowerCase();
  let best: { readonly candidate: string; readonly distance: number } | null = null;
  for (const candidate of candidates) {
    const other = candidate.toLowerCase();
    const begins = wanted.length >= 3 && (other.startsWith(wanted) || wanted.startsWith(other));
    const distance = begins ? 1 : editDistance(wanted, other);
    const limit = Math.max(1, Math.floor(Math.max(wanted.length, other.length) / 3));
    if (distance <= limit && (best === null || distance < best.distance)) best = { candidate, distance };
  }
  return best?.candidate ?? null;
}
