import { upperMedian } from '../numeric/median.ts';
import { colourDistance, meanColour, sameLiquid, type Colour } from './liquid-box.ts';
import { reagentChroma } from './colour-mask.ts';
import { heightOf, widthOf, type Component } from './components.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Chroma from which a patch may hold reagent. Chosen: its green product in a thin layer has about as much. */
const leastReagent = 0.04;
/** Spread of OKLab colour over vials and looks from which they are alive. Chosen: twice noise and shading of caps. */
const lively = 0.06;

/**
 * How much patches look like liquids under test, 0.1..1: of the reagent's colour, unlike one another or changing over the run (caps and labels are
 * all alike, always), and each of one colour from top to bottom (a whole vial is glass above and liquid below).
 */
export function liquidness(rows: readonly (readonly Component[])[], looks: readonly SmallOklab[]): number {
  const patches = rows.flat();
  const share = (test: (patch: Component) => boolean): number => patches.filter(test).length / patches.length;
  const reagent = share((patch) => looks.some((look) => chromaOf(middleColour(patch, look)) > leastReagent));
  const uniform = share((patch) => looks.filter((look) => isUniform(patch, look)).length >= 0.5 * looks.length);
  // Row by row: caps above liquids would differ from them, and not among themselves.
  const spreads = rows.map((row) => spreadOf(row.flatMap((patch) => looks.map((look) => middleColour(patch, look)))));
  const life = Math.min(1, spreads.reduce((sum, spread) => sum + spread, 0) / spreads.length / lively);
  return (0.2 + 0.5 * reagent + 0.3 * life) * (0.5 + 0.5 * uniform);
}

const chromaOf = ([, a, b]: Colour): number => reagentChroma(a, b);

/** Mean OKLab of a patch's middle, from one share of its height to another. */
export function middleColour(patch: Component, look: SmallOklab, from = 0.3, to = 0.7): Colour {
  const insetX = Math.floor(0.3 * widthOf(patch));
  const top = patch.top + Math.floor(from * heightOf(patch));
  const bottom = Math.max(top + 1, patch.top + Math.ceil(to * heightOf(patch)));
  return meanColour(look, patch.left + insetX, top, patch.right - insetX, bottom);
}

/** Whether the upper and the lower part are of about the same colour; two layers of liquid differ by less than glass and liquid. */
function isUniform(patch: Component, look: SmallOklab): boolean {
  return colourDistance(middleColour(patch, look, 0.15, 0.4), middleColour(patch, look, 0.6, 0.85)) < 2 * sameLiquid;
}

/** Distance from the middle of all colours that most stay within: the 85th percentile, so that a hand in one look tells nothing. */
export function spreadOf(colours: readonly Colour[]): number {
  const middle = [0, 1, 2].map((plane) => upperMedian(colours.map((colour) => colour[plane]!))) as unknown as Colour;
  const distances = colours.map((colour) => colourDistance(colour, middle)).sort((first, second) => first - second);
  return distances[Math.floor(0.85 * (distances.length - 1))]!;
}
