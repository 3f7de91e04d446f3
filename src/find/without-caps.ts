import { heightOf, middleX, widthOf, type Component } from './components.ts';
import { colourDistance, type Colour } from './liquid-box.ts';
import { liquidness, middleColour, spreadOf } from './liquidness.ts';
import { ratio } from './ratio.ts';
import { upperMedian } from '../numeric/median.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Spread of colour over vials and looks below which a row is dead; from how much on one is alive. Chosen: noise and shading of caps; a vial that turned. */
const dead = 0.03;
const alive = 0.06;
/** Rows that look like liquids by less than this share of the likeliest row are none. Chosen: labels have about a third, a row of blanks 0.7. */
const unlikely = 0.5;
/** Heights of caps differ by less. Chosen: whole parts, seen under perspective. */
const sameHeight = 1.35;

/**
 * A group of rows without its labels, which look like no liquid, and its caps: a row all alike in every look, over a row in the same columns that changes and that never had, when it was first seen, the
 * upper one's colour. A row of blanks has the colour that the others begin with.
 */
export function withoutCaps(rows: Component[][], looks: readonly SmallOklab[]): Component[][] {
  const likely = rows.map((row) => liquidness([row], looks));
  const kept = rows.filter(
    (row, index) =>
      likely[index]! > unlikely * Math.max(...likely) &&
      (!isDead(row, looks) || !rows.some((other) => standsUnder(other, row) && turnedFromOther(other, row, looks))),
  );
  return kept.length === 0 ? rows : kept;
}

const coloursOf = (row: readonly Component[], looks: readonly SmallOklab[]): Colour[] =>
  row.flatMap((one) => looks.map((look) => middleColour(one, look)));

function isDead(row: readonly Component[], looks: readonly SmallOklab[]): boolean {
  const heights = row.map(heightOf);
  return spreadOf(coloursOf(row, looks)) < dead && ratio(Math.max(...heights), upperMedian(heights)) < sameHeight;
}

function standsUnder(row: readonly Component[], upper: readonly Component[]): boolean {
  const over = upper.filter((one) =>
    row.some((other) => other.top >= one.bottom && Math.abs(middleX(other) - middleX(one)) < widthOf(one)),
  );
  return 2 * over.length > upper.length;
}

/** Whether a row changes, and no vial of it had the other row's colour in any look up to its first coloured one. */
function turnedFromOther(
  row: readonly Component[],
  other: readonly Component[],
  looks: readonly SmallOklab[],
): boolean {
  if (spreadOf(coloursOf(row, looks)) < alive) return false;
  const caps = coloursOf(other, looks);
  const distances = row.map((one) => {
    const first = looks.map((look) => middleColour(one, look)).find((colour) => chromaOf(colour) > 0.04);
    return first === undefined ? Infinity : Math.min(...caps.map((cap) => colourDistance(cap, first)));
  });
  return upperMedian(distances) > alive;
}

const chromaOf = ([, a, b]: Colour): number => Math.hypot(a, b);
