import { type Box, boundingBox } from './model/region-box.ts';
import type { Region, Rig } from './model/region.ts';

/** Of a gap between two vials, its middle third is looked at; of the liquid's height, its middle half. Chosen: clear of glass walls and meniscus. */
const widthShare = 1 / 3;
const heightShare = 1 / 2;
/** Narrowest piece, pixels: below it walls and coding are all one sees. Chosen. */
const narrowest = 4;
/** Gaps wider than so many regions are no gap in a row. Chosen. */
const widestGap = 6;

/**
 * Places beside the vials where the backdrop is seen at the height of the liquid: between neighbours of a row, and as far beyond
 * its two ends. None that touches a region, a patch or the frame's edge.
 */
export function backdropPlaces(rig: Rig): readonly Region[] {
  const vials = rig.regions.map(boundingBox);
  const taken = [...vials, ...rig.white.map(boundingBox)];
  const places: Region[] = [];
  const add = (left: number, right: number, beside: readonly Box[]): void => {
    const top = Math.max(...beside.map((box) => box.top));
    const bottom = Math.min(...beside.map((box) => box.bottom));
    const width = (right - left) * widthShare;
    const height = (bottom - top) * heightShare;
    if (width < narrowest || height < narrowest) return;
    const piece = { x: (left + right - width) / 2, y: (top + bottom - height) / 2, width, height };
    const inside =
      piece.x >= 0 && piece.y >= 0 && piece.x + width <= rig.frame.width && piece.y + height <= rig.frame.height;
    const free = taken.every(
      (box) =>
        piece.x >= box.right || piece.x + width <= box.left || piece.y >= box.bottom || piece.y + height <= box.top,
    );
    if (inside && free) places.push({ id: `backdrop ${places.length + 1}`, shape: 'rect', ...piece });
  };
  for (const row of rowsOf(vials)) {
    const gaps = row.slice(1).map((box, at) => ({ from: row[at]!, to: box, width: box.left - row[at]!.right }));
    const meanWidth = row.reduce((sum, box) => sum + box.right - box.left, 0) / row.length;
    const between = gaps.filter(({ width }) => width > 0 && width <= widestGap * meanWidth);
    between.forEach(({ from, to }) => add(from.right, to.left, [from, to]));
    if (between.length === 0) continue;
    const usual = between.reduce((sum, { width }) => sum + width, 0) / between.length;
    const [first, last] = [row[0]!, row.at(-1)!];
    add(first.left - usual, first.left, [first]);
    add(last.right, last.right + usual, [last]);
  }
  return places;
}

/** Boxes that stand at one height, from left to right. */
function rowsOf(boxes: readonly Box[]): readonly (readonly Box[])[] {
  const rows: Box[][] = [];
  for (const box of [...boxes].sort((one, other) => one.left - other.left)) {
    const row = rows.find((entries) => {
      const last = entries.at(-1)!;
      const shared = Math.min(last.bottom, box.bottom) - Math.max(last.top, box.top);
      return shared > 0.5 * Math.min(last.bottom - last.top, box.bottom - box.top);
    });
    if (row === undefined) rows.push([box]);
    else row.push(box);
  }
  return rows;
}
