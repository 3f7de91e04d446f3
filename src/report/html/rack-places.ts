import type { Region } from '../../model/region.ts';

/** Where a vial is drawn: its centre in units of columns and rows of the rack as it stood. */
export interface Place {
  readonly column: number;
  readonly row: number;
}

export interface RackPlaces {
  readonly places: readonly Place[];
  readonly columns: number;
  readonly rows: number;
}

/** Centre of a region, frame pixels. */
function centreOf(region: Region): readonly [number, number] {
  if (region.shape === 'rect') return [region.x + region.width / 2, region.y + region.height / 2];
  if (region.shape === 'ellipse') return [region.cx, region.cy];
  const xs = region.points.map(([x]) => x);
  const ys = region.points.map(([, y]) => y);
  return [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
}

/**
 * Places that keep the picture's own arrangement while neighbours never overlap: across, the nearest two vials of a row
 * stand one column apart; down, rows are the heights at which vials stand. Vials stand in one row when their centres
 * differ by less than half a region's height.
 */
export function rackPlaces(regions: readonly Region[]): RackPlaces {
  const centres = regions.map(centreOf);
  const halfHeight = Math.min(...regions.map(heightOf), Infinity) / 2;
  const order = centres.map(([, y], index) => ({ y, index })).sort((a, b) => a.y - b.y);
  const rowOf = new Array<number>(regions.length).fill(0);
  let row = 0;
  order.forEach(({ y, index }, position) => {
    if (position > 0 && y - order[position - 1]!.y >= halfHeight) row += 1;
    rowOf[index] = row;
  });
  const left = Math.min(...centres.map(([x]) => x));
  const widest = Math.max(...centres.map(([x]) => x)) - left;
  const pitch = Math.max(columnPitch(centres, rowOf), widest / 24, 1);
  return {
    places: centres.map(([x], index) => ({ column: (x - left) / pitch, row: rowOf[index]! })),
    columns: widest / pitch + 1,
    rows: row + 1,
  };
}

function columnPitch(centres: readonly (readonly [number, number])[], rowOf: readonly number[]): number {
  let least = Infinity;
  centres.forEach(([x], first) => {
    for (let second = first + 1; second < centres.length; second += 1) {
      if (rowOf[first] === rowOf[second]) least = Math.min(least, Math.abs(centres[second]![0] - x));
    }
  });
  return Number.isFinite(least) ? least : Infinity;
}

function heightOf(region: Region): number {
  if (region.shape === 'rect') return region.height;
  if (region.shape === 'ellipse') return 2 * region.ry;
  const ys = region.points.map(([, y]) => y);
  return Math.max(...ys) - Math.min(...ys);
}
