import type { GreyImage } from './grey-image.ts';

/** Sums of gradient products over everything above and left of a place; some 12 MB for a picture of 1,000 x 500. */
export type TensorTables = readonly [xx: Float64Array, xy: Float64Array, yy: Float64Array];

export function tensorTables({ width, height }: Pick<GreyImage, 'width' | 'height'>): TensorTables {
  const table = (): Float64Array => new Float64Array((width + 1) * (height + 1));
  return [table(), table(), table()];
}

/**
 * The smaller eigenvalue of the structure tensor averaged over a square (J. Shi, C. Tomasi, "Good features to track", CVPR 1994):
 * large only where the picture varies in both directions. Returns a lookup by the square's centre, which must lie half a side inside the picture.
 * The lookup holds until the same tables are used for another picture.
 */
export function cornerStrength(
  image: GreyImage,
  side: number,
  [xx, xy, yy]: TensorTables = tensorTables(image),
): (x: number, y: number) => number {
  const { width, height, data } = image;
  const stride = width + 1;
  for (let y = 0; y < height; y += 1) {
    let rowXx = 0;
    let rowXy = 0;
    let rowYy = 0;
    const up = Math.max(0, y - 1) * width;
    const down = Math.min(height - 1, y + 1) * width;
    for (let x = 0; x < width; x += 1) {
      const gx = (data[y * width + Math.min(width - 1, x + 1)]! - data[y * width + Math.max(0, x - 1)]!) / 2;
      const gy = (data[down + x]! - data[up + x]!) / 2;
      rowXx += gx * gx;
      rowXy += gx * gy;
      rowYy += gy * gy;
      const at = (y + 1) * stride + x + 1;
      xx[at] = xx[at - stride]! + rowXx;
      xy[at] = xy[at - stride]! + rowXy;
      yy[at] = yy[at - stride]! + rowYy;
    }
  }
  const half = side >> 1;
  return (x, y) => {
    const left = Math.max(0, x - half);
    const right = Math.min(width, x - half + side);
    const top = Math.max(0, y - half);
    const bottom = Math.min(height, y - half + side);
    const area = (right - left) * (bottom - top);
    const mean = (table: Float64Array): number =>
      (table[bottom * stride + right]! -
        table[top * stride + right]! -
        table[bottom * stride + left]! +
        table[top * stride + left]!) /
      area;
    const a = mean(xx);
    const b = mean(xy);
    const c = mean(yy);
    return (a + c) / 2 - Math.hypot((a - c) / 2, b);
  };
}
