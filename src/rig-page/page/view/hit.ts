import type { Point, Region } from '../../../model/region.ts';
import { insidePolygon } from '../geometry/overlap.ts';
import { boundsOf, outlineOf } from '../geometry/shape.ts';
import { toScreen, type View } from '../geometry/view.ts';

/** Index of the handle within reach of a screen point; `null`: none. The nearest wins. */
export function handleAt(handles: readonly Point[], view: View, [x, y]: Point, reach: number): number | null {
  let best: number | null = null;
  let nearest = reach;
  handles.forEach((point, index) => {
    const [px, py] = toScreen(view, point);
    const distance = Math.hypot(px - x, py - y);
    if (distance <= nearest) {
      nearest = distance;
      best = index;
    }
  });
  return best;
}

/** The smallest region under a point of the frame, so that a small one on a large one can be reached. */
export function regionAt(regions: readonly Region[], point: Point): Region | null {
  const size = (region: Region): number => boundsOf(region).width * boundsOf(region).height;
  const under = regions.filter((region) => insidePolygon(point, outlineOf(region)));
  return under.sort((first, second) => size(first) - size(second))[0] ?? null;
}
