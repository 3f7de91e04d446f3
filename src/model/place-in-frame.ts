import { boundingBox } from './region-box.ts';
import type { Region } from './region.ts';

/** Centre of a region from the frame's centre, half a diagonal = 1. */
export function placeInFrame(
  region: Region,
  { width, height }: { readonly width: number; readonly height: number },
): readonly [x: number, y: number] {
  const box = boundingBox(region);
  const half = Math.hypot(width, height) / 2;
  return [((box.left + box.right) / 2 - width / 2) / half, ((box.top + box.bottom) / 2 - height / 2) / half];
}
