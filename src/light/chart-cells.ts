import type { Chart, Point, PolygonRegion } from '../model/region.ts';

/** Middle part of a cell that is read, along each side. Chosen: corners placed a tenth of a cell off still read paint only. */
const core = 0.5;

/** Letter of a row and number of a column, as charts are usually labelled: `B3`; rows beyond Z go on with AA. */
function cellName(row: number, column: number): string {
  const letter = String.fromCharCode(65 + (row % 26));
  return `${row < 26 ? '' : 'A'}${letter}${column + 1}`;
}

/** The middle of each cell of a chart seen in perspective, row by row, as regions named after the cell. */
export function chartCells(chart: Pick<Chart, 'rows' | 'columns' | 'corners'>): PolygonRegion[] {
  const place = fromUnitSquare(chart.corners);
  const edge = (1 - core) / 2;
  return Array.from({ length: chart.rows * chart.columns }, (_, index) => {
    const row = Math.floor(index / chart.columns);
    const column = index % chart.columns;
    const at = (right: number, down: number): Point =>
      place((column + right) / chart.columns, (row + down) / chart.rows);
    return {
      id: cellName(row, column),
      shape: 'polygon',
      points: [at(edge, edge), at(1 - edge, edge), at(1 - edge, 1 - edge), at(edge, 1 - edge)],
    };
  });
}

/**
 * The projective map of the unit square onto four corners (top left, top right, bottom right, bottom left);
 * P. Heckbert, "Fundamentals of Texture Mapping and Image Warping" (1989), section 2.2.
 */
function fromUnitSquare(corners: Chart['corners']): (u: number, v: number) => Point {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = corners;
  const [sx, sy] = [x0 - x1 + x2 - x3, y0 - y1 + y2 - y3];
  const [dx1, dy1, dx2, dy2] = [x1 - x2, y1 - y2, x3 - x2, y3 - y2];
  const determinant = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - sy * dx2) / determinant;
  const h = (dx1 * sy - dy1 * sx) / determinant;
  return (u, v) => {
    const w = g * u + h * v + 1;
    return [
      ((x1 - x0 + g * x1) * u + (x3 - x0 + h * x3) * v + x0) / w,
      ((y1 - y0 + g * y1) * u + (y3 - y0 + h * y3) * v + y0) / w,
    ];
  };
}
