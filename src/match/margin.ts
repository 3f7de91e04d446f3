/**
 * Least margin, CIEDE2000, however alike the replicates are: half of what an eye can just see, about what coding of the picture leaves.
 * Chosen.
 */
const leastMargin = 0.5;

/**
 * How far apart two liquids may really be and still count as agreeing: twice the root-mean-square distance of like vials of these colours. Chosen: nearer
 * colours would be mixed up by hand and eye as well; the risk of agreeing wrongly is held at exactly this distance.
 */
export function marginOf(likeVials: number): number {
  return Math.max(leastMargin, 2 * likeVials);
}
