import { middleX, widthOf, type Component } from './components.ts';
import { liquidness, middleColour, spreadOf } from './liquidness.ts';
import { ratio } from './ratio.ts';
import { upperMedian } from '../numeric/median.ts';
import { sameWidth } from './row-up.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Largest departure from the usual distance of rows, as a share of it. Chosen: perspective from row to row; caps and labels lie by two fifths and more off it. */
const offPitch = 0.15;
/** Largest sideways departure from the columns, in widths of a liquid: a rack seen a little askew. Chosen. */
const offColumn = 0.5;

/** Spread of colour from which a row changes. Chosen: twice noise and shading of caps. */
const alive = 0.06;
/** A row between two found ones looks like liquids by at least this share of what they do. Chosen: labels have about a third, see {@link liquidness}. */
const likeLiquids = 0.7;

/** Whether a row changes, as caps and labels do not. */
const isAlive = (row: readonly Component[], looks: readonly SmallOklab[]): boolean =>
  liquidness([row], looks) > 0.9 &&
  spreadOf(row.flatMap((one) => looks.map((look) => middleColour(one, look)))) > alive;

/**
 * Rows that a rack of two or more rows has besides those found, though less filled: as wide, in its columns, one row's distance above or below, or half-way between
 * neighbours in all gaps; with a single row found, any that changes over the run like liquids do. Their liquids may stand lower than the others' (all of a row filled with less).
 */
export function rowsAtPitch(
  rack: readonly (readonly Component[])[],
  others: readonly (readonly Component[])[],
  looks: readonly SmallOklab[],
): readonly (readonly Component[])[] {
  const levels = rack.map(levelOf).sort((one, other) => one - other);
  const gaps = levels.slice(1).map((level, index) => level - levels[index]!);
  const wide = upperMedian(rack.flat().map(widthOf));
  const most = Math.max(...rack.map((row) => row.length));
  const able = others.filter(
    (row) =>
      2 * row.length > most &&
      row.every((one) => ratio(widthOf(one), wide) < sameWidth) &&
      row.every((one) => rack.flat().some((other) => Math.abs(middleX(other) - middleX(one)) < offColumn * wide)),
  );
  if (rack.length === 1) return able.filter((row) => row.length === most && isAlive(row, looks));
  const inGaps = gaps.map((gap, index) => {
    const middle = levels[index]! + gap / 2;
    return able.find(
      (row) =>
        Math.abs(levelOf(row) - middle) < (offPitch * gap) / 2 &&
        liquidness([row], looks) > likeLiquids * liquidness(rack, looks),
    );
  });
  const between = inGaps.filter((row) => row !== undefined);
  const all = between.length === gaps.length;
  // One row missed among found ones leaves one gap twice as wide as the others.
  const usual = Math.max(...gaps) > 1.6 * Math.min(...gaps) ? Math.min(...gaps) : upperMedian(gaps);
  const pitch = all ? usual / 2 : usual;
  const atEnds = able.filter((row) => {
    const steps = levels.map((one) => Math.abs(levelOf(row) - one) / pitch);
    return !between.includes(row) && Math.abs(Math.min(...steps) - 1) < offPitch;
  });
  return all ? [...between, ...atEnds] : atEnds;
}

const levelOf = (row: readonly Component[]): number => upperMedian(row.map(({ bottom }) => bottom));
