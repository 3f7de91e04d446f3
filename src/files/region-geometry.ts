import type { Point, Region } from '../model/region.ts';

export interface Bounds {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** The upright box around a region, frame pixels. */
export function boundsOf(region: Region): Bounds {
  switch (region.shape) {
    case 'rect':
      return { left: region.x, top: region.y, right: region.x + region.width, bottom: region.y + region.height };
    case 'ellipse':
      return {
        left: region.cx - region.rx,
        top: region.cy - region.ry,
        right: region.cx + region.rx,
        bottom: region.cy + region.ry,
      };
    case 'polygon': {
      const xs = region.points.map(([x]) => x);
      const ys = region.points.map(([, y]) => y);
      return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) };
    }
  }
}

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
  const box = boundsOf(small);
  const other = boundsOf(large);
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
