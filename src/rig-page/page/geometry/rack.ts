import type { Point, Region } from '../../../model/region.ts';
import { mapQuad, type Quad } from './quad-map.ts';

/** A rack of vials laid over the frame by its four outer corners. */
export interface RackLayout {
  readonly rows: number;
  readonly columns: number;
  /** Outer corners of the corner vials' regions. */
  readonly corners: Quad;
  /** Share of the pitch that a region takes, 0..1, across and down. */
  readonly fillX: number;
  readonly fillY: number;
  /** `polygon` follows the slope of the rack exactly. */
  readonly shape: Region['shape'];
}

/** Most rows or columns of a rack that the page lays out; chosen: well above any rack that one frame resolves. */
export const mostPerSide = 24;

const between = (first: Point, second: Point): Point => [(first[0] + second[0]) / 2, (first[1] + second[1]) / 2];
const distance = (first: Point, second: Point): number => Math.hypot(first[0] - second[0], first[1] - second[1]);

/**
 * One region a vial, row by row. With `n` columns and regions that fill `f` of the pitch, the block between the outer
 * corners is `n - 1 + f` pitches wide, so the corner regions touch the corners, also for a single row.
 */
export function rackRegions(layout: RackLayout, nameOf: (row: number, column: number) => string): readonly Region[] {
  const at = mapQuad(layout.corners);
  const pitchU = 1 / (layout.columns - 1 + layout.fillX);
  const pitchV = 1 / (layout.rows - 1 + layout.fillY);
  const regions: Region[] = [];
  for (let row = 0; row < layout.rows; row += 1) {
    for (let column = 0; column < layout.columns; column += 1) {
      const id = nameOf(row, column);
      const [left, right] = [column * pitchU, (column + layout.fillX) * pitchU];
      const [top, bottom] = [row * pitchV, (row + layout.fillY) * pitchV];
      const cell: Quad = [at(left, top), at(right, top), at(right, bottom), at(left, bottom)];
      if (layout.shape === 'polygon') {
        regions.push({ id, shape: 'polygon', points: cell });
        continue;
      }
      const [x, y] = between(between(cell[0], cell[2]), between(cell[1], cell[3]));
      const width = Math.max(2, (distance(cell[0], cell[1]) + distance(cell[3], cell[2])) / 2);
      const height = Math.max(2, (distance(cell[0], cell[3]) + distance(cell[1], cell[2])) / 2);
      regions.push(
        layout.shape === 'ellipse'
          ? { id, shape: 'ellipse', cx: x, cy: y, rx: width / 2, ry: height / 2 }
          : { id, shape: 'rect', x: x - width / 2, y: y - height / 2, width, height },
      );
    }
  }
  return regions;
}

/** A rack in the middle of the frame to start dragging from. */
export function startingCorners(frame: { width: number; height: number }, rows: number): Quad {
  const [left, right] = [frame.width * 0.15, frame.width * 0.85];
  const half = frame.height * Math.min(0.32, 0.12 * rows);
  const [top, bottom] = [frame.height / 2 - half, frame.height / 2 + half];
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}
