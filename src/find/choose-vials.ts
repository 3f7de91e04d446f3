import type { Component } from './components.ts';

/** Patches that are alike in size and shape, as the liquids of one rack are, in rows. */
export interface Rack {
  readonly rows: readonly (readonly Component[])[];
  /** 0..1: how many there are, how alike, how regularly they stand. */
  readonly confidence: number;
}

/** Smallest share of the frame one liquid covers. Chosen: 96 vials at 1080p cover more. */
const smallestArea = 2e-4;

const widthOf = (component: Component): number => component.right - component.left;
const heightOf = (component: Component): number => component.bottom - component.top;
const middleX = (component: Component): number => (component.left + component.right) / 2;
const middleY = (component: Component): number => (component.top + component.bottom) / 2;

/**
 * Picks from the surely coloured patches the largest group that looks like the liquids of a rack, and from the perhaps coloured ones those of the
 * same size that stand in its rows; `null` when there is none.
 */
export function chooseVials(
  components: readonly Component[],
  pale: readonly Component[],
  width: number,
  height: number,
): Rack | null {
  const able = components.filter((component) => {
    const box = widthOf(component) * heightOf(component);
    const upright = heightOf(component) / widthOf(component);
    const inside = component.left > 0 && component.right < width && component.top > 0 && component.bottom < height;
    // Filled like a vial's liquid, not a thread or a ring; from flat pools to tall columns.
    return (
      component.area >= smallestArea * width * height &&
      component.area > 0.55 * box &&
      upright > 0.25 &&
      upright < 8 &&
      inside
    );
  });
  let best: Component[] = [];
  for (const seed of able) {
    const like = able.filter(
      (other) => ratio(widthOf(other), widthOf(seed)) < 1.35 && ratio(heightOf(other), heightOf(seed)) < 1.7,
    );
    const weight = (group: readonly Component[]): number =>
      group.length * Math.sqrt(group.reduce((sum, { area }) => sum + area, 0));
    if (weight(like) > weight(best)) best = like;
  }
  if (best.length === 0) return null;
  const rows = inRows([...best, ...pale.filter((component) => standsAmong(component, best))]);
  const spread = Math.max(...best.map((component) => ratio(widthOf(component), middle(best.map(widthOf)))));
  const alike = Math.max(0, 1 - (spread - 1) / 0.5);
  const number = Math.min(1, best.length / 4);
  return { rows, confidence: number * (0.4 + 0.3 * alike + 0.3 * evenness(rows)) };
}

/** Whether a patch is as large as the group's, level with one of them, and on a free place. */
function standsAmong(component: Component, group: readonly Component[]): boolean {
  return (
    ratio(widthOf(component), middle(group.map(widthOf))) < 1.35 &&
    ratio(heightOf(component), middle(group.map(heightOf))) < 1.35 &&
    group.some((other) => Math.abs(middleY(other) - middleY(component)) < 0.3 * heightOf(other)) &&
    group.every(
      (other) =>
        other.right <= component.left ||
        other.left >= component.right ||
        other.bottom <= component.top ||
        other.top >= component.bottom,
    )
  );
}

/** Rows from top to bottom, each from left to right: a patch belongs to a row when its middle lies within half a height of it. */
function inRows(components: readonly Component[]): Component[][] {
  const rows: Component[][] = [];
  for (const component of [...components].sort((first, second) => middleY(first) - middleY(second))) {
    const row = rows.at(-1);
    const level = row === undefined ? -Infinity : middle(row.map(middleY));
    if (row !== undefined && Math.abs(middleY(component) - level) < 0.6 * heightOf(component)) row.push(component);
    else rows.push([component]);
  }
  return rows.map((row) => row.sort((first, second) => middleX(first) - middleX(second)));
}

/** 1 for equal distances within the rows, falling with their scatter; 1 for single vials. */
function evenness(rows: readonly (readonly Component[])[]): number {
  const gaps = rows.flatMap((row) => row.slice(1).map((component, index) => middleX(component) - middleX(row[index]!)));
  if (gaps.length < 2) return 1;
  const usual = middle(gaps);
  return Math.max(0, 1 - (2 * middle(gaps.map((gap) => Math.abs(gap - usual)))) / usual);
}

const ratio = (first: number, second: number): number => Math.max(first / second, second / first);
const middle = (values: readonly number[]): number =>
  [...values].sort((first, second) => first - second)[values.length >> 1]!;
