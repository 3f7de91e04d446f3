import { middleX, type Component } from './components.ts';
import { meanColour, colourDistance, sameLiquid } from './liquid-box.ts';
import { median } from './ratios.ts';
import type { SmallOklab } from './small-oklab.ts';

/** One place of a rack: its column from 0, the liquid there, and whether only the rack's regular grid told of it. */
export interface RackPlace {
  readonly column: number;
  readonly component: Component;
  readonly filled: boolean;
}

/** Largest distance from a whole number of columns, in columns, that still counts as on the grid. Chosen. */
const offGrid = 0.2;
/** Share of the looks that must show something on a place. Chosen: a hand or an empty first frame may spoil some. */
const enoughLooks = 0.5;

/**
 * Puts found liquids on the regular grid of their rack and adds the places that were missed within it, where most looks
 * show something unlike the board beside it: a vial that paled between two looks is missed by its colour, but not by
 * its neighbours. Rows off any grid keep their order and gain nothing.
 */
export function fillGrid(
  rows: readonly (readonly Component[])[],
  looks: readonly SmallOklab[],
): readonly (readonly RackPlace[])[] {
  const asFound = rows.map((row) => row.map((component, column) => ({ column, component, filled: false })));
  const pitch = pitchOf(rows);
  if (pitch === null) return asFound;
  const origin = Math.min(...rows.flat().map(middleX));
  const columnOf = (component: Component): number => (middleX(component) - origin) / pitch;
  const columns = rows.map((row) => row.map(columnOf));
  const onGrid = columns.flat().every((column) => Math.abs(column - Math.round(column)) <= offGrid);
  const apart = columns.every((row) => new Set(row.map(Math.round)).size === row.length);
  if (!onGrid || !apart) return asFound;
  const last = Math.max(...columns.flat().map(Math.round));
  const usual = Math.max(...rows.map((row) => row.length));
  return rows.map((row, index) => {
    const known = row.map((component, at) => ({ column: Math.round(columns[index]![at]!), component, filled: false }));
    // A row of which less than half was found may be something else than a row of the rack.
    if (2 * row.length < usual) return known;
    const added = Array.from({ length: last + 1 }, (_, column) => column)
      .filter((column) => known.every((place) => place.column !== column))
      .map((column) => ({ column, component: placeAt(column, known, pitch), filled: true }))
      .filter(({ component }) => isOccupied(component, pitch, looks));
    return [...known, ...added].sort((first, second) => first.column - second.column);
  });
}

/** Distance of neighbouring columns: the median of those gaps that are about as small as the smallest; `null` for fewer than 3. */
function pitchOf(rows: readonly (readonly Component[])[]): number | null {
  const gaps = rows.flatMap((row) => row.slice(1).map((component, index) => middleX(component) - middleX(row[index]!)));
  const least = Math.min(...gaps);
  const single = gaps.filter((gap) => gap < 1.4 * least);
  return single.length < 3 ? null : median(single);
}

/** A box of the row's usual size where the line through the nearest found neighbours puts it. */
function placeAt(column: number, known: readonly RackPlace[], pitch: number): Component {
  const near = [...known].sort((a, b) => Math.abs(a.column - column) - Math.abs(b.column - column));
  const [first, second] = [near[0]!, near[1] ?? near[0]!];
  const steps = second.column - first.column;
  const slope = steps === 0 ? pitch : (middleX(second.component) - middleX(first.component)) / steps;
  const components = known.map(({ component }) => component);
  const width = median(components.map((one) => one.right - one.left));
  const left = Math.round(middleX(first.component) + slope * (column - first.column) - width / 2);
  const top = median(components.map((one) => one.top));
  const bottom = median(components.map((one) => one.bottom));
  return { left, top, right: left + width, bottom, area: width * (bottom - top), label: 0 };
}

/** Whether most looks show something there that differs from the board half a column to either side. */
function isOccupied(component: Component, pitch: number, looks: readonly SmallOklab[]): boolean {
  const { left, right, top, bottom } = component;
  const inset = Math.max(1, Math.round(0.3 * (right - left)));
  const half = Math.round(pitch / 2);
  const middle = Math.round(middleX(component));
  const seen = looks.filter((look) => {
    if (left < 0 || top < 0 || right > look.width || bottom > look.height) return false;
    const liquid = meanColour(look, left + inset, top + inset, right - inset, bottom - inset);
    const beside = [middle - half, middle + half].filter((x) => x >= 1 && x < look.width - 1);
    return beside.every((x) => colourDistance(liquid, meanColour(look, x - 1, top, x + 1, bottom)) > 2 * sameLiquid);
  });
  return seen.length >= enoughLooks * looks.length && seen.length > 0;
}
