import type { Noise } from './types.ts';

/**
 * Least margin, CIEDE2000, however alike the replicates are: uneven light and coding bring about as much between two places of one
 * picture. Chosen.
 */
export const leastMargin = 2;

/** Root-mean-square distance of two like vials anywhere in the picture; `otherDay`: seen in two runs. */
export function likeVialsDistance(noise: Noise, otherDay: boolean): number {
  return Math.sqrt(2 * noise.variance + noise.placeVariance + (otherDay ? noise.dayVariance : 0));
}

/**
 * How far apart two liquids may really be and still count as agreeing: twice the distance of like vials. Chosen: colours nearer than that
 * would be mixed up by hand and eye as well; the risk of agreeing wrongly is held at exactly this distance.
 */
export function marginOf(noise: Noise, otherDay: boolean): number {
  return Math.max(leastMargin, 2 * likeVialsDistance(noise, otherDay));
}
