import type { Component } from './components.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Change of OKLab colour along a row or column that still counts as the same liquid. Chosen: path length in a round vial changes it by less within the middle. */
export const sameLiquid = 0.045;

/**
 * The part of a coloured patch that is plain liquid in every look: the longest runs of columns and of rows about the middle whose colour is like the middle's,
 * a little drawn in. So glass, meniscus, floor and a glare stripe stay outside. Working pixels.
 */
export function liquidBox(
  component: Component,
  looks: readonly SmallOklab[],
): { left: number; top: number; right: number; bottom: number } {
  const { left, top, right, bottom } = component;
  const width = right - left;
  const height = bottom - top;
  const inMiddle = (from: number, size: number): [number, number] => [
    Math.floor(from + 0.3 * size),
    Math.max(Math.floor(from + 0.3 * size) + 1, Math.ceil(from + 0.7 * size)),
  ];
  const [middleLeft, middleRight] = inMiddle(left, width);
  const [middleTop, middleBottom] = inMiddle(top, height);
  // Looks in which this vial is not (yet) coloured say nothing about its edges.
  const telling = looks.filter((look) => {
    const colour = meanColour(look, middleLeft, middleTop, middleRight, middleBottom);
    const around = meanColour(look, Math.max(0, left - 3), top, Math.max(1, left - 1), bottom);
    return colourDistance(colour, around) > sameLiquid;
  });
  const plain = telling.map((look) => meanColour(look, middleLeft, middleTop, middleRight, middleBottom));
  const worst = (l: number, t: number, r: number, b: number): number =>
    Math.max(0, ...telling.map((look, index) => colourDistance(plain[index]!, meanColour(look, l, t, r, b))));
  const columns = Array.from({ length: width }, (_, offset) =>
    worst(left + offset, middleTop, left + offset + 1, middleBottom),
  );
  const rows = Array.from({ length: height }, (_, offset) =>
    worst(middleLeft, top + offset, middleRight, top + offset + 1),
  );
  const [x0, x1] = drawIn(longestRun(columns, 0.3), width, 0.12, 0.12);
  const [y0, y1] = drawIn(longestRun(rows, 0.3), height, 0.14, 0.1);
  return { left: left + x0, top: top + y0, right: left + x1, bottom: top + y1 };
}

/** OKLab. */
export type Colour = readonly [number, number, number];

/** Distance in OKLab. */
export const colourDistance = (first: Colour, second: Colour): number =>
  Math.hypot(first[0] - second[0], first[1] - second[1], first[2] - second[2]);

/** Mean OKLab of a box of working pixels, right and bottom outside. */
export function meanColour(look: SmallOklab, left: number, top: number, right: number, bottom: number): Colour {
  let [lightness, a, b, count] = [0, 0, 0, 0];
  for (let y = top; y < bottom; y += 1) {
    for (let x = left; x < right; x += 1) {
      const at = y * look.width + x;
      lightness += look.lightness[at]!;
      a += look.a[at]!;
      b += look.b[at]!;
      count += 1;
    }
  }
  return [lightness / count, a / count, b / count];
}

/** The longest run of like entries; the whole when it is shorter than `least` of all. */
function longestRun(values: readonly number[], least: number): [number, number] {
  let best: [number, number] = [0, 0];
  let start = 0;
  values.forEach((value, index) => {
    if (value > sameLiquid) start = index + 1;
    else if (index + 1 - start > best[1] - best[0]) best = [start, index + 1];
  });
  return best[1] - best[0] < least * values.length ? [0, values.length] : best;
}

/** Keeps the stated shares of the whole away from its ends, and a twentieth of the run away from the run's ends. */
function drawIn([from, to]: [number, number], size: number, first: number, last: number): [number, number] {
  const inset = 0.05 * (to - from);
  return [Math.max(from + inset, first * size), Math.min(to - inset, (1 - last) * size)];
}
