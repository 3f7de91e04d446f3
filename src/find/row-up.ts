import { heightOf, middleX, widthOf, type Component } from './components.ts';
import { ratio } from './ratio.ts';
import { upperMedian } from '../numeric/median.ts';

/** Widths of the vials of one row differ by less. Chosen: perspective along a row, and glare that cuts some of them. */
export const sameWidth = 1.35;
/** Fill levels of the vials of one row differ by less. Chosen: from a fifth to two thirds full. */
export const fillRange = 3.5;

/**
 * Puts patches into rows: neighbours stand on the same level (their lower edges: vials are filled to different heights), are
 * alike in width, and do not lie over one another. A sloping row is followed from vial to vial. Rows come from top to bottom, members
 * from left to right.
 */
export function rowUp(components: readonly Component[], widths = sameWidth): Component[][] {
  const sorted = [...components].sort((first, second) => middleX(first) - middleX(second));
  const rowOf = new Map<Component, Component[]>(sorted.map((one) => [one, [one]]));
  sorted.forEach((one, index) => {
    const next = sorted.slice(index + 1).find((other) => sameRow(one, other, widths));
    if (next === undefined) return;
    const [row, joined] = [rowOf.get(one)!, rowOf.get(next)!];
    if (row === joined) return;
    row.push(...joined);
    for (const member of joined) rowOf.set(member, row);
  });
  const level = (row: readonly Component[]): number => upperMedian(row.map(({ bottom }) => bottom));
  return [...new Set(rowOf.values())]
    .map((row) => row.sort((first, second) => middleX(first) - middleX(second)))
    .sort((first, second) => level(first) - level(second));
}

/** Whether a patch may be the next one to the right in a row. */
export function sameRow(one: Component, other: Component, widths = sameWidth): boolean {
  const size = Math.max(widthOf(one), Math.min(heightOf(one), heightOf(other)));
  return (
    other.left >= one.right &&
    Math.abs(other.bottom - one.bottom) < 0.4 * size &&
    ratio(widthOf(one), widthOf(other)) < widths &&
    ratio(heightOf(one), heightOf(other)) < fillRange
  );
}
