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

/** Moves of half the resolution that are looked at closely. Chosen: a rack repeats itself some columns to either side. */
const closely = 12;

/**
 * The whole move whose gradients have the largest product; what leaves the picture counts as unlike. Found at half the resolution
 * first: of all moves there the most alike ones, of which the best is taken at the full one (a sixteenth of the work).
 */
function roughPlace(first: GreyGrid, second: GreyGrid, reach: number): readonly [number, number] {
  const [one, other] = [gradients(first), gradients(second)];
  const [halfOne, halfOther] = [gradients(shrunk(first, 2)), gradients(shrunk(second, 2))];
  const half = Math.ceil(reach / 2);
  const rough: { readonly dx: number; readonly dy: number; readonly product: number }[] = [];
  for (let dy = -half; dy <= half; dy += 1) {
    for (let dx = -half; dx <= half; dx += 1) rough.push({ dx, dy, product: productAt(halfOne, halfOther, dx, dy) });
  }
  rough.sort((a, b) => b.product - a.product);
  let best: readonly [number, number] = [0, 0];
  let largest = -Infinity;
  const seen = new Set<string>();
  for (const place of rough.slice(0, closely)) {
    for (let dy = 2 * place.dy - 1; dy <= 2 * place.dy + 1; dy += 1) {
      for (let dx = 2 * place.dx - 1; dx <= 2 * place.dx + 1; dx += 1) {
        const name = `${dx} ${dy}`;
        if (seen.has(name) || Math.max(Math.abs(dx), Math.abs(dy)) > reach) continue;
        seen.add(name);
        const product = productAt(one, other, dx, dy);
        if (product > largest) [largest, best] = [product, [dx, dy]];
      }
    }
  }
  return best;
}

interface Gradients {
  readonly width: number;
  readonly height: number;
  readonly x: Float32Array;
  readonly y: Float32Array;
}

function productAt(one: Gradients, other: Gradients, dx: number, dy: number): number {
  const { width, height } = one;
  let product = 0;
  const [left, right] = [Math.max(0, -dx), Math.min(width, width - dx)];
  for (let y = Math.max(0, -dy); y < Math.min(height, height - dy); y += 1) {
    const from = y * width + left;
    product = addProducts(product, one, other, from, y * width + right, dy * width + dx);
  }
  return product;
}

/** Adds a row's products one by one. A function by itself: engines compile a small loop early. */
function addProducts(sum: number, one: Gradients, other: Gradients, from: number, to: number, off: number): number {
  const { x: oneX, y: oneY } = one;
  const { x: otherX, y: otherY } = other;
  let product = sum;
  for (let at = from; at < to; at += 1) product += oneX[at]! * otherX[at + off]! + oneY[at]! * otherY[at + off]!;
  return product;
}

function gradients({ width, height, data }: GreyGrid): Gradients {
  const [x, y] = [new Float32Array(width * height), new Float32Array(width * height)];
  for (let row = 1; row < height - 1; row += 1) {
    for (let at = row * width + 1; at < (row + 1) * width - 1; at += 1) {
      x[at] = data[at + 1]! - data[at - 1]!;
      y[at] = data[at + width]! - data[at - width]!;
    }
  }
  return { width, height, x, y };
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
