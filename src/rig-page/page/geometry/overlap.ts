import type { Point, Region } from '../../../model/region.ts';
import { boundsOf, outlineOf } from './shape.ts';

const cross = (origin: Point, first: Point, second: Point): number =>
  (first[0] - origin[0]) * (second[1] - origin[1]) - (first[1] - origin[1]) * (second[0] - origin[0]);

function segmentsCross(a: Point, b: Point, c: Point, d: Point): boolean {
  return cross(a, b, c) * cross(a, b, d) < 0 && cross(c, d, a) * cross(c, d, b) < 0;
}

/** Whether a point lies inside a polygon (even-odd rule). */
export function insidePolygon([x, y]: Point, polygon: readonly Point[]): boolean {
  let inside = false;
  polygon.forEach((point, index) => {
    const other = polygon[(index + 1) % polygon.length]!;
    if (point[1] > y !== other[1] > y) {
      const crossing = point[0] + ((y - point[1]) / (other[1] - point[1])) * (other[0] - point[0]);
      if (x < crossing) inside = !inside;
    }
  });
  return inside;
}

/** Whether two regions share any area; touching edges do not count. */
export function overlaps(first: Region, second: Region): boolean {
  const [a, b] = [boundsOf(first), boundsOf(second)];
  const apart = a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y;
  if (apart) return false;
  if (first.shape === 'rect' && second.shape === 'rect') return true;
  const [outline, other] = [outlineOf(first), outlineOf(second)];
  const crossing = outline.some((point, index) => {
    const next = outline[(index + 1) % outline.length]!;
    return other.some((start, at) => segmentsCross(point, next, start, other[(at + 1) % other.length]!));
  });
  return (
    crossing ||
    outline.some((point) => insidePolygon(point, other)) ||
    other.some((point) => insidePolygon(point, outline))
  );
}

/** Names of the regions that each region overlaps; regions without any are left out. */
export function overlapsAmong(regions: readonly Region[]): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, string[]>();
  regions.forEach((region, index) => {
    for (const other of regions.slice(index + 1)) {
      if (!overlaps(region, other)) continue;
      found.set(region.id, [...(found.get(region.id) ?? []), other.id]);
      found.set(other.id, [...(found.get(other.id) ?? []), region.id]);
    }
  });
  return found;
}
