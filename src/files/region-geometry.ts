import { boundingBox } from '../model/region-box.ts';
import type { Point, Region } from '../model/region.ts';

/** Area in square pixels. */
export function areaOf(region: Region): number {
  switch (region.shape) {
    case 'rect':
      return region.width * region.height;
    case 'ellipse':
      return Math.PI * region.rx * region.ry;
    case 'polygon': {
      const { points } = region;
      const twice = points.reduce((sum, [x, y], index) => {
        const [nextX, nextY] = points[(index + 1) % points.length]!;
        return sum + x * nextY - nextX * y;
      }, 0);
      return Math.abs(twice) / 2;
    }
  }
}

/** Whether a point lies inside a region (even-odd rule for polygons). */
export function contains(region: Region, [x, y]: Point): boolean {
  switch (region.shape) {
    case 'rect':
      return x >= region.x && x < region.x + region.width && y >= region.y && y < region.y + region.height;
    case 'ellipse':
      return ((x - region.cx) / region.rx) ** 2 + ((y - region.cy) / region.ry) ** 2 <= 1;
    case 'polygon': {
      let inside = false;
      region.points.forEach(([x1, y1], index) => {
        const [x2, y2] = region.points[(index + 1) % region.points.length]!;
        if (y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1) inside = !inside;
      });
      return inside;
    }
  }
}

/** Points a side of the grid that overlap is counted on; 40 settles a share of one half to within 2 %. */
const gridSide = 40;

/** Share of the smaller region that lies in the other one, 0..1, counted on a grid. */
export function overlapOf(first: Region, second: Region): number {
  const [small, large] = areaOf(first) <= areaOf(second) ? [first, second] : [second, first];
  const box = boundingBox(small);
  const other = boundingBox(large);
  if (box.right <= other.left || other.right <= box.left || box.bottom <= other.top || other.bottom <= box.top)
    return 0;
  let inSmall = 0;
  let inBoth = 0;
  for (let row = 0; row < gridSide; row += 1) {
    for (let column = 0; column < gridSide; column += 1) {
      const point: Point = [
        box.left + ((column + 0.5) / gridSide) * (box.right - box.left),
        box.top + ((row + 0.5) / gridSide) * (box.bottom - box.top),
      ];
      if (!contains(small, point)) continue;
      inSmall += 1;
      if (contains(large, point)) inBoth += 1;
    }
  }
  return inSmall === 0 ? 0 : inBoth / inSmall;
}
