import { heightOf, middleX, widthOf, type Component } from './components.ts';
import { colourDistance, meanColour, sameLiquid, type Colour } from './liquid-box.ts';
import { mean } from '../numeric/mean.ts';
import { upperMedian } from '../numeric/median.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Change of colour over the run, against the board beside, from which a place holds what is under test. Chosen: twice noise and shading. */
const alive = 0.06;
/** Distance from the nearest known liquid of the same look within which a colour is a liquid's. Chosen: two blanks in uneven light. */
const likeKnown = 0.06;
/** Lowest liquid, as a share of its width, and in working pixels. Chosen: what is lower has no part free of meniscus and floor. */
const lowest = { share: 0.3, pixels: 5 } as const;
/** How far above the row's tallest liquid a surface is looked for. Chosen. */
const headroom = 1.2;

/**
 * The liquid at a place of a row where none was found by its colour: what stands on the level of its neighbours' floors and is of one colour up to a
 * surface, changes over the run or is coloured like a known liquid. `null`: no such thing (an empty place, a vial without liquid).
 */
export function liquidAtPlace(
  middle: number,
  known: readonly Component[],
  pitch: number,
  looks: readonly SmallOklab[],
): Component | null {
  const width = upperMedian(known.map(widthOf));
  const left = Math.round(middle - width / 2);
  const bottom = Math.round(floorAt(middle, known));
  const tallest = Math.max(...known.map(heightOf));
  const from = Math.max(0, bottom - Math.round(headroom * tallest));
  const frame = looks[0]!;
  if (left < 0 || left + width > frame.width || bottom > frame.height) return null;
  const inset = Math.max(1, Math.round(0.3 * width));
  const strip = (look: SmallOklab, top: number, end: number): Colour =>
    meanColour(look, left + inset, top, left + width - inset, end);
  const least = Math.max(lowest.pixels, Math.round(lowest.share * width));
  // The floor is known within a pixel or two.
  const to = bottom - Math.max(1, Math.round(0.1 * width));
  if (to - from < 2 * least) return null;
  const surface =
    surfaceOf(
      looks.map((look) => rowsOf(from, to, (y) => strip(look, y, y + 1))),
      least,
    ) + from;
  const reach = Math.round(pitch / 2);
  const besides = [Math.round(middle) - reach, Math.round(middle) + reach];
  // Half-way to the next columns is the board, where nothing wider than a vial stands.
  if (besides.some((x) => x < 1 || x >= frame.width - 1)) return null;
  const boards = looks.map((look) => besides.map((x) => meanColour(look, x - 1, surface, x + 1, bottom)));
  const own = looks.map((look) => strip(look, surface, bottom));
  const against = own.map((colour, index) => minus(colour, boards[index]![0] ?? colour));
  const changed = Math.max(...against.map((one) => upperMedian(against.map((other) => colourDistance(one, other)))));
  const inLooks = (test: (index: number) => boolean): boolean =>
    2 * looks.filter((_, at) => test(at)).length >= looks.length;
  const liquidLike = inLooks((at) =>
    known.some((one) => colourDistance(own[at]!, middleOf(one, looks[at]!)) < likeKnown),
  );
  const unlikeBoard = inLooks((at) => boards[at]!.every((board) => colourDistance(own[at]!, board) > sameLiquid));
  if (!unlikeBoard || (changed < alive && !liquidLike)) return null;
  return { left, top: surface, right: left + width, bottom, area: width * (bottom - surface), label: 0 };
}

/** Level of the row's floors at a place: the straight line through its liquids, which a camera held askew tilts. */
function floorAt(middle: number, known: readonly Component[]): number {
  const xs = known.map(middleX);
  const centre = mean(xs);
  const spread = xs.reduce((sum, x) => sum + (x - centre) ** 2, 0);
  const level = mean(known.map(({ bottom }) => bottom));
  const slope =
    spread === 0 ? 0 : known.reduce((sum, one, at) => sum + (xs[at]! - centre) * (one.bottom - level), 0) / spread;
  return level + slope * (middle - centre);
}

/** First row of the lowest part of one colour, `least` rows high: parts are cut where their two sides differ most over all looks, as long as they differ. */
function surfaceOf(profiles: readonly (readonly Colour[])[], least: number): number {
  const length = profiles[0]!.length;
  let start = 0;
  for (;;) {
    let best = { at: start, weight: 0, difference: 0 };
    for (let at = start + 2; at <= length - least; at += 1) {
      const steps = profiles.map((rows) =>
        colourDistance(meanOfColours(rows.slice(start, at)), meanOfColours(rows.slice(at))),
      );
      const [above, below] = [at - start, length - at];
      const weight = (steps.reduce((sum, step) => sum + step ** 2, 0) * above * below) / (above + below);
      if (weight > best.weight) best = { at, weight, difference: Math.max(...steps) };
    }
    if (best.difference < sameLiquid) return start;
    start = best.at;
  }
}

const rowsOf = (from: number, to: number, row: (y: number) => Colour): Colour[] =>
  Array.from({ length: to - from }, (_, at) => row(from + at));

function middleOf(one: Component, look: SmallOklab): Colour {
  const [x, y] = [0.3 * widthOf(one), 0.3 * heightOf(one)].map(Math.floor) as [number, number];
  return meanColour(
    look,
    one.left + x,
    one.top + y,
    Math.max(one.left + x + 1, one.right - x),
    Math.max(one.top + y + 1, one.bottom - y),
  );
}

const minus = (one: Colour, other: Colour): Colour => [one[0] - other[0], one[1] - other[1], one[2] - other[2]];

function meanOfColours(colours: readonly Colour[]): Colour {
  const of = (plane: 0 | 1 | 2): number => mean(colours.map((colour) => colour[plane]));
  return [of(0), of(1), of(2)];
}
