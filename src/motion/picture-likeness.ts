import { type GreyImage, movedBack, shrinkGrey } from './grey-image.ts';

/** Width of the pictures that the whole reach is searched in. Chosen. */
const coarseWidth = 160;

/**
 * How alike the edges of two pictures of one size are once the second is moved back by (dx, dy): correlation of their gradients over what
 * both show, -1..1. Light that changed slowly over the picture does not matter, what repeats itself does not hide what does not.
 */
export function likenessAt(first: GreyImage, second: GreyImage, dx: number, dy: number): number {
  const { width, height } = first;
  const moved = movedBack(second, dx, dy);
  const [right, down] = [Math.round(dx), Math.round(dy)];
  let product = 0;
  let firstSquares = 0;
  let secondSquares = 0;
  for (let y = Math.max(1, 1 - down); y < Math.min(height, height - down) - 1; y += 1) {
    for (let x = Math.max(1, 1 - right); x < Math.min(width, width - right) - 1; x += 1) {
      const at = y * width + x;
      const ax = first.data[at + 1]! - first.data[at - 1]!;
      const ay = first.data[at + width]! - first.data[at - width]!;
      const bx = moved.data[at + 1]! - moved.data[at - 1]!;
      const by = moved.data[at + width]! - moved.data[at - width]!;
      product += ax * bx + ay * by;
      firstSquares += ax * ax + ay * ay;
      secondSquares += bx * bx + by * by;
    }
  }
  return product / Math.sqrt(Math.max(1e-12, firstSquares * secondSquares));
}

/** The whole move within `reach` that makes two pictures of one size most alike, from coarse to fine; pixels of theirs. */
export function mostAlike(
  first: GreyImage,
  second: GreyImage,
  reach: number,
): { readonly dx: number; readonly dy: number; readonly likeness: number } {
  const { image: coarse, factor } = shrinkGrey(first, coarseWidth);
  const other = shrinkGrey(second, coarseWidth).image;
  const across = Math.ceil(reach / factor);
  const rough = bestOf(coarse, other, 0, 0, across);
  return bestOf(first, second, factor * rough.dx, factor * rough.dy, factor);
}

function bestOf(
  first: GreyImage,
  second: GreyImage,
  dx: number,
  dy: number,
  reach: number,
): { readonly dx: number; readonly dy: number; readonly likeness: number } {
  let best = { dx, dy, likeness: -Infinity };
  for (let y = dy - reach; y <= dy + reach; y += 1) {
    for (let x = dx - reach; x <= dx + reach; x += 1) {
      const likeness = likenessAt(first, second, x, y);
      if (likeness > best.likeness) best = { dx: x, dy: y, likeness };
    }
  }
  return best;
}
