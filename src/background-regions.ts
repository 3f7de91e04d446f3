import { boundingBox } from './model/region-box.ts';
import type { Region, Rig } from './model/region.ts';

/** Side of a piece, share of the frame's width; and columns and rows of candidates. Chosen. */
const sideShare = 0.04;
const columns = 6;
const rows = 4;

/**
 * Pieces of the picture that may serve as still background when the rig has no neutral patch: a grid of small squares,
 * without those near a vial. Whether they stay as they are is for the light step to find out.
 */
export function backgroundRegions(rig: Rig): readonly Region[] {
  const { width, height } = rig.frame;
  const side = Math.max(8, Math.round(width * sideShare));
  const boxes = rig.regions.map(boundingBox);
  const pieces: Region[] = [];
  for (let row = 0; row < rows; row += 1) {
    for (let column = 0; column < columns; column += 1) {
      const x = Math.round(((column + 0.5) / columns) * width - side / 2);
      const y = Math.round(((row + 0.5) / rows) * height - side / 2);
      const near = boxes.some(
        (box) =>
          x < box.right + side && x + side > box.left - side && y < box.bottom + side && y + side > box.top - side,
      );
      if (!near)
        pieces.push({ id: `background ${row + 1}.${column + 1}`, shape: 'rect', x, y, width: side, height: side });
    }
  }
  return pieces;
}
