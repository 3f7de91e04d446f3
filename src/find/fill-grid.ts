import { middleX, type Component } from './components.ts';
import { liquidAtPlace } from './liquid-at-place.ts';
import { upperMedian } from '../numeric/median.ts';
import type { SmallOklab } from './small-oklab.ts';

/** One place of a rack: its column from 0, the liquid there, and whether only the rack's regular grid told of it. */
export interface RackPlace {
  readonly column: number;
  readonly component: Component;
  readonly filled: boolean;
}

/** Largest distance from a whole number of columns, in columns, that still counts as on the grid. Chosen. */
const offGrid = 0.2;
/** Places looked for beyond the ends of a row at most. Chosen: vials that paled beside others, not another rack. */
const beyond = 2;

/**
 * Puts found liquids on the regular grid of their rack and adds the places that were missed within it or next to its ends, where most looks
 * show a liquid: a vial that paled between two looks is missed by its colour, but not by
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
  const filled = rows.map((row, index) => {
    const known = row.map((component, at) => ({ column: Math.round(columns[index]![at]!), component, filled: false }));
    // A row of which less than half was found may be something else than a row of the rack.
    if (2 * row.length < usual) return known;
    const taken = new Set(known.map((place) => place.column));
    const fill = (column: number): RackPlace[] => (taken.has(column) ? [] : fillPlace(column, known, pitch, looks));
    const within = Array.from({ length: last + 1 }, (_, column) => fill(column)).flat();
    const before = outwards((step) => fill(-step));
    const behind = outwards((step) => fill(last + step));
    return [...before, ...within, ...known, ...behind].sort((first, second) => first.column - second.column);
  });
  const first = Math.min(...filled.flat().map(({ column }) => column));
  return filled.map((row) => row.map((place) => ({ ...place, column: place.column - first })));
}

/** The places from step 1 on as long as each is one. */
function outwards(place: (step: number) => readonly RackPlace[]): RackPlace[] {
  const found: RackPlace[] = [];
  for (let step = 1; step <= beyond; step += 1) {
    const next = place(step);
    if (next.length === 0) break;
    found.push(...next);
  }
  return found;
}

function fillPlace(
  column: number,
  known: readonly RackPlace[],
  pitch: number,
  looks: readonly SmallOklab[],
): RackPlace[] {
  const components = known.map(({ component }) => component);
  const component = liquidAtPlace(middleAt(column, known, pitch), components, pitch, looks);
  return component === null ? [] : [{ column, component, filled: true }];
}

/** Distance of neighbouring columns: the median of those gaps that are about as small as the smallest; `null` for fewer than 3. */
function pitchOf(rows: readonly (readonly Component[])[]): number | null {
  const gaps = rows.flatMap((row) => row.slice(1).map((component, index) => middleX(component) - middleX(row[index]!)));
  const least = Math.min(...gaps);
  const single = gaps.filter((gap) => gap < 1.4 * least);
  return single.length < 3 ? null : upperMedian(single);
}

/** Middle of a column of a row: on the line through its nearest found neighbours. */
function middleAt(column: number, known: readonly RackPlace[], pitch: number): number {
  const near = [...known].sort((a, b) => Math.abs(a.column - column) - Math.abs(b.column - column));
  const [first, second] = [near[0]!, near[1] ?? near[0]!];
  const steps = second.column - first.column;
  const slope = steps === 0 ? pitch : (middleX(second.component) - middleX(first.component)) / steps;
  return middleX(first.component) + slope * (column - first.column);
}
