import { heightOf, middleX, overlap, widthOf, type Component } from './components.ts';
import { liquidness } from './liquidness.ts';
import { ratio } from './ratio.ts';
import { upperMedian } from '../numeric/median.ts';
import { rowsAtPitch } from './rows-at-pitch.ts';
import type { SmallOklab } from './small-oklab.ts';
import { withoutCaps } from './without-caps.ts';
import { fillRange, rowUp, sameRow, sameWidth } from './row-up.ts';

/** Patches that are alike in size and shape, as the liquids of one rack are, in rows. */
export interface Rack {
  readonly rows: readonly (readonly Component[])[];
  /** 0..1: how many there are, how alike, how regularly they stand. */
  readonly confidence: number;
  /** How much speaks for these being liquids under test, to choose between racks; see {@link liquidness}. */
  readonly liquidness: number;
}

/** Smallest share of the frame one liquid covers. Chosen: 96 vials at 1080p cover more. */
const smallestArea = 2e-4;
/** Rows of one rack differ in width and usual height by less. Chosen: a rack seen from above narrows by a third to its far row; caps and labels are other heights. */
const rackRange = { width: 1.6, height: 1.7 } as const;

/** What glare leaves of a liquid beside its stripe may be narrower by so much. Chosen: a stripe right of the middle. */
const cutByGlare = 2.5;

/**
 * Picks from the surely coloured patches the rows that together look like the liquids of a rack, and from the perhaps coloured ones those of the
 * same size that stand in them; `null` when there are none.
 */
export function chooseVials(
  components: readonly Component[],
  pale: readonly Component[],
  looks: readonly SmallOklab[],
): Rack | null {
  const { width, height } = looks[0]!;
  const able = components.filter((component) => couldBeLiquid(component, width, height));
  const rows = rowUp(able);
  const weigh = (some: readonly (readonly Component[])[]): number => {
    const all = some.flat();
    const size = all.length * Math.sqrt(all.reduce((sum, { area }) => sum + area, 0));
    return size * liquidness(some, looks) * (0.6 + 0.4 * lowestShare(all, able));
  };
  let best: Component[][] = [];
  let weight = 0;
  for (const seed of rows) {
    const like = rows.filter(
      (row) =>
        ratio(usual(row, widthOf), usual(seed, widthOf)) < rackRange.width &&
        ratio(usual(row, heightOf), usual(seed, heightOf)) < rackRange.height,
    );
    const weightOfLike = weigh(like);
    if (weightOfLike > weight) [best, weight] = [like, weightOfLike];
  }
  if (best.length === 0) return null;
  best = withoutCaps(best, looks);
  const found = [
    ...best,
    ...rowsAtPitch(
      best,
      rows.filter((row) => !best.includes(row)),
      looks,
    ),
  ].flat();
  for (const component of [...pale].sort((first, second) => second.area - first.area)) {
    const fits = couldBeLiquid(component, width, height) && standsAmong(component, best.flat());
    if (fits && found.every((other) => !overlap(component, other))) found.push(component);
  }
  // Known to be of one rack now, so that a vial half hidden by glare stands in its row.
  const filled = rowUp(found, cutByGlare);
  return { rows: filled, confidence: confidenceOf(filled), liquidness: liquidness(filled, looks) };
}

/** Share of a group below which nothing as wide stands in the column: a liquid is the lowest coloured thing of its vial. */
function lowestShare(group: readonly Component[], all: readonly Component[]): number {
  const lowest = group.filter((one) =>
    all.every(
      (other) =>
        other.top < one.bottom ||
        Math.abs(middleX(other) - middleX(one)) > widthOf(one) ||
        ratio(widthOf(other), widthOf(one)) > rackRange.width,
    ),
  );
  return lowest.length / group.length;
}

/** Filled like a vial's liquid, not a thread or a ring; from flat pools to tall columns; wholly in the picture. */
function couldBeLiquid(component: Component, width: number, height: number): boolean {
  const box = widthOf(component) * heightOf(component);
  const upright = heightOf(component) / widthOf(component);
  const inside = component.left > 0 && component.right < width && component.top > 0 && component.bottom < height;
  return (
    component.area >= smallestArea * width * height &&
    component.area > 0.55 * box &&
    upright > 0.2 &&
    upright < 8 &&
    inside
  );
}

/** Whether a patch is as large as the group's and stands in the row of one of them. */
function standsAmong(component: Component, group: readonly Component[]): boolean {
  const wide = upperMedian(group.map(widthOf));
  const tall = upperMedian(group.map(heightOf));
  return (
    ratio(widthOf(component), wide) < sameWidth &&
    ratio(heightOf(component), tall) < Math.sqrt(fillRange) &&
    group.some((other) => sameRow(component, other) || sameRow(other, component))
  );
}

const usual = (row: readonly Component[], size: (component: Component) => number): number => upperMedian(row.map(size));

function confidenceOf(rows: readonly (readonly Component[])[]): number {
  const all = rows.flat();
  const unlike = rows.flatMap((row) => row.map((one) => ratio(widthOf(one), usual(row, widthOf)) - 1));
  const alike = Math.max(0, 1 - unlike.reduce((sum, one) => sum + one, 0) / unlike.length / 0.25);
  return Math.min(1, all.length / 4) * (0.4 + 0.3 * alike + 0.3 * evenness(rows));
}

/** 1 for equal distances within the rows, falling with their scatter; 1 for single vials. */
function evenness(rows: readonly (readonly Component[])[]): number {
  const gaps = rows.flatMap((row) => row.slice(1).map((component, index) => middleX(component) - middleX(row[index]!)));
  if (gaps.length < 2) return 1;
  const typical = upperMedian(gaps);
  return Math.max(0, 1 - (2 * upperMedian(gaps.map((gap) => Math.abs(gap - typical)))) / typical);
}
