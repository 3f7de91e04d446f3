import type { Point, Region } from '../../../model/region.ts';
import { boundsOf, fitInto, smallestSide } from './shape.ts';

/** Which sides of the box each of the eight handles moves: -1 left or top, 1 right or bottom, 0 neither. */
const boxHandles: readonly (readonly [number, number])[] = [
  [-1, -1],
  [0, -1],
  [1, -1],
  [1, 0],
  [1, 1],
  [0, 1],
  [-1, 1],
  [-1, 0],
];

/** Points by which a region is resized: its vertices, or eight points on its box (clockwise from the top left). */
export function handlesOf(region: Region): readonly Point[] {
  if (region.shape === 'polygon') return region.points;
  const { x, y, width, height } = boundsOf(region);
  return boxHandles.map(([sideX, sideY]): Point => [x + (width * (sideX + 1)) / 2, y + (height * (sideY + 1)) / 2]);
}

/** The region after one handle was put at a point; sides never pass each other. */
export function moveHandle(region: Region, index: number, [x, y]: Point): Region {
  if (region.shape === 'polygon') {
    return { ...region, points: region.points.map((point, at) => (at === index ? ([x, y] as const) : point)) };
  }
  const side = boxHandles[index];
  if (side === undefined) return region;
  const box = boundsOf(region);
  let { x: left, y: top } = box;
  let right = box.x + box.width;
  let bottom = box.y + box.height;
  if (side[0] < 0) left = Math.min(x, right - smallestSide);
  if (side[0] > 0) right = Math.max(x, left + smallestSide);
  if (side[1] < 0) top = Math.min(y, bottom - smallestSide);
  if (side[1] > 0) bottom = Math.max(y, top + smallestSide);
  return fitInto(region, { x: left, y: top, width: right - left, height: bottom - top });
}

/** Handles that are there on the screen: between the corners only where there is room for them. */
export function shownHandles(region: Region, zoom: number): readonly number[] {
  if (region.shape === 'polygon') return region.points.map((_, index) => index);
  const { width, height } = boundsOf(region);
  // Side from which three handles of 24 px, the least a finger or WCAG 2.2 wants, do not lie on each other.
  const room = 3 * 24;
  return boxHandles.flatMap(([sideX, sideY], index) => {
    if (sideX === 0) return width * zoom >= room ? [index] : [];
    return sideY !== 0 || height * zoom >= room ? [index] : [];
  });
}
