import type { SmallOklab } from './small-oklab.ts';

/** Distance from the background's colour in the a-b plane below which nothing is a reagent. Chosen: wood and skin under lamps lie at 0.02-0.06, dichromate orange above 0.1, its green product at 0.05-0.1. */
const leastColour = 0.045;
/** Same, where a vial is expected, or all vials are faint. Chosen. */
const faintest = 0.025;
/** The stricter guess asks for so many times the colour. Chosen. */
const stricter = 1.5;
/** Hues of dichromate from red-orange to the blue-green of its product, OKLCh degrees. Chosen wide: lamps and cameras shift them. */
const reagentHueDeg = { from: 30, to: 200 } as const;

export interface Masks {
  /** Above Otsu's threshold. */
  readonly sure: Uint8Array;
  /** Above half of it, for pale vials in rows that are known by then. */
  readonly perhaps: Uint8Array;
}

/**
 * What is coloured unlike the background: for every pixel the distance in OKLab's a-b plane from the frame's median colour, in its second most
 * coloured frame of the run (one frame may have a hand in it). Four guesses: counted only as far as the pixel itself has a colour of the
 * reagent's, so that clear glass before a coloured board is none; the same, stricter, for glass that takes the board's colour;
 * fainter, for a rack that is all green; and whatever the colour, for other reagents.
 */
export function colourMasks(looks: readonly SmallOklab[]): readonly Masks[] {
  const first = looks[0]!;
  const any = createSecondBest(first.width * first.height);
  const reagent = createSecondBest(first.width * first.height);
  for (const look of looks) {
    const middle = { a: middleOf(look.a), b: middleOf(look.b) };
    for (let at = 0; at < look.a.length; at += 1) {
      const [a, b] = [look.a[at]!, look.b[at]!];
      const distance = Math.hypot(a - middle.a, b - middle.b);
      any.put(at, distance);
      reagent.put(at, Math.min(distance, reagentChroma(a, b)));
    }
  }
  const robust = looks.length >= 3;
  const [likeReagent, unlikeBoard] = [reagent.values(robust), any.values(robust)];
  return [
    cut(likeReagent, leastColour),
    cut(likeReagent, leastColour, stricter),
    cut(likeReagent, faintest),
    cut(unlikeBoard, leastColour),
  ];
}

/** Chroma of a colour whose hue is one of the reagent's; 0 for others. */
export function reagentChroma(a: number, b: number): number {
  const hue = (Math.atan2(b, a) * 180) / Math.PI;
  const turned = hue < 0 ? hue + 360 : hue;
  return turned >= reagentHueDeg.from && turned <= reagentHueDeg.to ? Math.hypot(a, b) : 0;
}

/** Keeps the largest and second largest value of every pixel. */
function createSecondBest(size: number): {
  readonly put: (at: number, value: number) => void;
  readonly values: (second: boolean) => Float32Array;
} {
  const best = new Float32Array(size);
  const second = new Float32Array(size);
  return {
    put(at, value) {
      if (value > best[at]!) {
        second[at] = best[at]!;
        best[at] = value;
      } else if (value > second[at]!) second[at] = value;
    },
    values: (wanted) => (wanted ? second : best),
  };
}

function cut(colour: Float32Array, least: number, times = 1): Masks {
  const threshold = times * Math.max(least, otsu(colour));
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
