/** A grey picture on any scale, row by row. */
export interface GreyGrid {
  readonly width: number;
  readonly height: number;
  readonly data: ArrayLike<number>;
}

/** Width of the pictures that the whole reach is searched in. Chosen. */
const coarseWidth = 160;

/**
 * How alike the edges of two pictures of one size are once the second is moved back by (dx, dy): correlation of their gradients over what
 * both show, -1..1. Light that changed slowly over the picture does not matter, what repeats itself does not hide what does not.
 */
export function likenessAt(first: GreyGrid, second: GreyGrid, dx: number, dy: number): number {
  const { width, height } = first;
  const [right, down] = [Math.round(dx), Math.round(dy)];
  let product = 0;
  let firstSquares = 0;
  let secondSquares = 0;
  for (let y = Math.max(1, 1 - down); y < Math.min(height, height - down) - 1; y += 1) {
    for (let x = Math.max(1, 1 - right); x < Math.min(width, width - right) - 1; x += 1) {
      const at = y * width + x;
      const ax = first.data[at + 1]! - first.data[at - 1]!;
      const ay = first.data[at + width]! - first.data[at - width]!;
      const to = at + down * width + right;
      const bx = second.data[to + 1]! - second.data[to - 1]!;
      const by = second.data[to + width]! - second.data[to - width]!;
      product += ax * bx + ay * by;
      firstSquares += ax * ax + ay * ay;
      secondSquares += bx * bx + by * by;
    }
  }
  return product / Math.sqrt(Math.max(1e-12, firstSquares * secondSquares));
}

/** The whole move within `reach` that makes two pictures of one size most alike, from coarse to fine; pixels of theirs. */
export function mostAlike(
  first: GreyGrid,
  second: GreyGrid,
  reach: number,
): { readonly dx: number; readonly dy: number; readonly likeness: number } {
  const factor = Math.max(1, Math.ceil(first.width / coarseWidth));
  const [roughX, roughY] = roughPlace(shrunk(first, factor), shrunk(second, factor), Math.ceil(reach / factor));
  let best = { dx: 0, dy: 0, likeness: -Infinity };
  for (let dy = factor * (roughY - 1); dy <= factor * (roughY + 1); dy += 1) {
    for (let dx = factor * (roughX - 1); dx <= factor * (roughX + 1); dx += 1) {
      const likeness = likenessAt(first, second, dx, dy);
      if (likeness > best.likeness) best = { dx, dy, likeness };
    }
  }
  return best;
}

/** The whole move whose gradients have the largest product; what leaves the picture counts as unlike. */
function roughPlace(first: GreyGrid, second: GreyGrid, reach: number): readonly [number, number] {
  const { width, height } = first;
  const one = gradients(first);
  const other = gradients(second);
  let best: readonly [number, number] = [0, 0];
  let largest = -Infinity;
  for (let dy = -reach; dy <= reach; dy += 1) {
    for (let dx = -reach; dx <= reach; dx += 1) {
      let product = 0;
      const [left, right] = [Math.max(0, -dx), Math.min(width, width - dx)];
      for (let y = Math.max(0, -dy); y < Math.min(height, height - dy); y += 1) {
        const row = y * width;
        const off = dy * width + dx;
        for (let at = row + left; at < row + right; at += 1) {
          product += one.x[at]! * other.x[at + off]! + one.y[at]! * other.y[at + off]!;
        }
      }
      if (product > largest) [largest, best] = [product, [dx, dy]];
    }
  }
  return best;
}

function gradients({ width, height, data }: GreyGrid): { readonly x: Float32Array; readonly y: Float32Array } {
  const [x, y] = [new Float32Array(width * height), new Float32Array(width * height)];
  for (let row = 1; row < height - 1; row += 1) {
    for (let at = row * width + 1; at < (row + 1) * width - 1; at += 1) {
      x[at] = data[at + 1]! - data[at - 1]!;
      y[at] = data[at + width]! - data[at - width]!;
    }
  }
  return { x, y };
}

/** Means of whole blocks. */
function shrunk(image: GreyGrid, factor: number): GreyGrid {
  const [width, height] = [Math.floor(image.width / factor), Math.floor(image.height / factor)];
  const data = new Float32Array(width * height);
  for (let y = 0; y < height * factor; y += 1) {
    for (let x = 0; x < width * factor; x += 1) {
      data[Math.floor(y / factor) * width + Math.floor(x / factor)]! += image.data[y * image.width + x]! / factor ** 2;
    }
  }
  return { width, height, data };
}
