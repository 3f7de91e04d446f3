/**
 * Bins of encoded values: 0.004 wide on [-0.252, 1.252), so that 0.004 and 0.996 (the limits of a clipped value) are bin edges.
 * Values outside fall into the end bins.
 */
export const binCount = 376;
export const binsPerUnit = 250;
export const binOffset = 63;

/**
 * Count and sum of encoded values by bin, reused for every frame. Both ride in one number, which halves the work of
 * counting a value in: count x {@link countUnit} + sum of (value + 1). Its rounding moves a mean by less than 1e-6.
 */
export type Histogram = Float64Array;

/** Larger than the sum of any bin: room for 25 million values. */
const countUnit = 2 ** 26;
/** What a value adds to its bin besides itself: its count, and 1 that keeps sums positive (encoded values lie above -1). */
export const perValue = countUnit + 1;

export const createHistogram = (): Histogram => new Float64Array(binCount);

export interface Midmean {
  /** Mean linear light of the middle half of the values. */
  readonly linear: number;
  /** Encoded value whose light that is, nearly: mean encoded value of the same half. */
  readonly encoded: number;
  /** Distance of the encoded quartiles. */
  readonly quartileRange: number;
  /** Share of values at or below 0.4 %, or at or above 99.6 %, of full scale. */
  readonly clipped: number;
}

/**
 * The midmean (mean of the values between the quartiles; Tukey) in linear light. It withstands a quarter of strays on either side,
 * has 84 % of the mean's efficiency for normal noise, and in a round vial it stands for one fixed range of path lengths whatever the colour.
 * Clears the histogram, of which only the bins from `lowest` to `highest` are in use. Within a bin the mean encoded value is decoded: the curvature over 0.004 changes the light by less than 2e-6.
 */
export function takeMidmean(
  histogram: Histogram,
  total: number,
  decode: (encoded: number) => number,
  lowest = 0,
  highest = binCount - 1,
): Midmean {
  const lowRank = total / 4;
  const highRank = total - lowRank;
  let before = 0;
  let linear = 0;
  let encoded = 0;
  let clipped = 0;
  let lowQuartile = 0;
  let highQuartile = 0;
  for (let bin = lowest; bin <= highest; bin += 1) {
    const packed = histogram[bin]!;
    if (packed === 0) continue;
    histogram[bin] = 0;
    const count = Math.floor(packed / countUnit);
    const after = before + count;
    const used = Math.min(after, highRank) - Math.max(before, lowRank);
    if (used > 0) {
      const mean = (packed - count * countUnit) / count - 1;
      linear += used * decode(mean);
      encoded += used * mean;
    }
    if (before <= lowRank && after > lowRank)
      lowQuartile = (bin - binOffset + (lowRank - before) / count) / binsPerUnit;
    if (before < highRank && after >= highRank) {
      highQuartile = (bin - binOffset + (highRank - before) / count) / binsPerUnit;
    }
    if (bin <= binOffset || bin >= binOffset + 249) clipped += count;
    before = after;
  }
  const half = highRank - lowRank;
  return {
    linear: linear / half,
    encoded: encoded / half,
    quartileRange: highQuartile - lowQuartile,
    clipped: clipped / total,
  };
}
