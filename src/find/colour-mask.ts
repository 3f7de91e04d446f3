import type { SmallOklab } from './small-oklab.ts';

/** Distance from the background's colour in the a-b plane below which nothing is a reagent. Chosen: wood and skin under lamps lie at 0.02-0.06, dichromate orange above 0.1, its green product at 0.05-0.1. */
const leastColour = 0.045;
/** Same, where a vial is expected. Chosen. */
const faintest = 0.025;

/**
 * What is coloured unlike the background or changes its colour over the run: for every pixel the distance in OKLab's a-b plane
 * from the frame's median colour, in its second most coloured frame of the run (one frame may have a hand in it). `sure`: above Otsu's threshold;
 * `perhaps`: above half of it, for pale vials in rows that are known by then.
 */
export function colourMask(looks: readonly SmallOklab[]): { readonly sure: Uint8Array; readonly perhaps: Uint8Array } {
  const first = looks[0]!;
  const size = first.width * first.height;
  const best = new Float32Array(size);
  const second = new Float32Array(size);
  for (const look of looks) {
    const a = middleOf(look.a);
    const b = middleOf(look.b);
    for (let at = 0; at < size; at += 1) {
      const distance = Math.hypot(look.a[at]! - a, look.b[at]! - b);
      if (distance > best[at]!) {
        second[at] = best[at]!;
        best[at] = distance;
      } else if (distance > second[at]!) second[at] = distance;
    }
  }
  const colour = looks.length >= 3 ? second : best;
  const threshold = Math.max(leastColour, otsu(colour));
  const above = (level: number): Uint8Array => Uint8Array.from(colour, (value) => (value > level ? 1 : 0));
  return { sure: above(threshold), perhaps: above(Math.max(faintest, threshold / 2)) };
}

/** Otsu's threshold (IEEE Trans. SMC 9:62, 1979) on 0..0.4 in 200 bins: the cut that parts two classes best. At most half of the usual colour of the upper class, so that pale vials stay in. */
function otsu(values: Float32Array): number {
  const bins = new Float64Array(200);
  for (const value of values) bins[Math.min(199, Math.floor(value * 500))]! += 1;
  const total = values.length;
  let sum = 0;
  bins.forEach((count, bin) => (sum += count * bin));
  let [below, sumBelow, bestSpread, bestBin, upperMean] = [0, 0, -1, 0, 0];
  bins.forEach((count, bin) => {
    below += count;
    sumBelow += count * bin;
    if (below === 0 || below === total) return;
    const low = sumBelow / below;
    const high = (sum - sumBelow) / (total - below);
    const spread = below * (total - below) * (high - low) ** 2;
    if (spread > bestSpread) [bestSpread, bestBin, upperMean] = [spread, bin, high];
  });
  return Math.min(bestBin + 1, upperMean / 2) / 500;
}

function middleOf(values: Float32Array): number {
  // Every seventh pixel tells the median as well.
  const some = values.filter((_, at) => at % 7 === 0).sort();
  return some[some.length >> 1]!;
}
