import { middleX, widthOf, type Component } from './components.ts';
import { median, ratio } from './ratios.ts';
import { sameWidth } from './row-up.ts';

/** Largest departure from the usual distance of rows, as a share of it. Chosen: perspective from row to row; caps and labels lie by two fifths and more off it. */
const offPitch = 0.15;
/** Largest sideways departure from the columns, in widths of a liquid: a rack seen a little askew. Chosen. */
const offColumn = 0.5;

/**
 * Rows that a rack of two or more rows has besides those found: as wide, in its columns, one row's distance above or below. Its liquids may stand lower
 * than the others' (all of a row filled with less).
 */
export function rowsAtPitch(
  rack: readonly (readonly Component[])[],
  others: readonly (readonly Component[])[],
): readonly (readonly Component[])[] {
  if (rack.length < 2) return [];
  const levels = rack.map(levelOf).sort((one, other) => one - other);
  const pitch = median(levels.slice(1).map((level, index) => level - levels[index]!));
  const wide = median(rack.flat().map(widthOf));
  const most = Math.max(...rack.map((row) => row.length));
  return others.filter((row) => {
    const level = levelOf(row);
    const steps = levels.map((one) => Math.abs(level - one) / pitch);
    const atPitch = Math.abs(Math.min(...steps) - 1) < offPitch;
    const alike = row.every((one) => ratio(widthOf(one), wide) < sameWidth);
    const inColumns = row.every((one) =>
      rack.flat().some((other) => Math.abs(middleX(other) - middleX(one)) < offColumn * wide),
    );
    return 2 * row.length > most && atPitch && alike && inColumns;
  });
}

const levelOf = (row: readonly Component[]): number => median(row.map(({ bottom }) => bottom));
