import type { RegionPixels, RgbImage } from '../model/frame.ts';

/** A grey picture, encoded lightness on any scale, row by row. */
export interface GreyImage {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array | Uint8Array;
}

/** Encoded luma by BT.601 weights of a picture; any fixed weights would do for finding motion. */
export function greyOfImage(image: RgbImage): GreyImage {
  const data = new Float32Array(image.width * image.height);
  for (let index = 0, from = 0; index < data.length; index += 1, from += 3) {
    data[index] = (0.299 * image.data[from]! + 0.587 * image.data[from + 1]! + 0.114 * image.data[from + 2]!) / 255;
  }
  return { width: image.width, height: image.height, data };
}

/** A part of a crop, samples: from left and top up to, and without, right and bottom. */
export interface Part {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Same of one crop, smoothed by a 3 x 3 binomial (against noise, and so that bilinear sampling errs little); edges are repeated. */
export function smoothGrey(pixels: RegionPixels, into: Float32Array, scratch: Float32Array): void {
  smoothPart(pixels, { left: 0, top: 0, right: pixels.width, bottom: pixels.height }, into, scratch);
}

/** Part of what {@link smoothGrey} makes, the same to the bit; around it `into` means nothing afterwards. */
export function smoothPart(
  { width, height, red, green, blue }: RegionPixels,
  { left, top, right, bottom }: Part,
  into: Float32Array,
  scratch: Float32Array,
): void {
  const last = width - 1;
  const [firstRow, endRow] = [Math.max(0, top - 1), Math.min(height, bottom + 1)];
  const [firstColumn, endColumn] = [Math.max(0, left - 1), Math.min(width, right + 1)];
  for (let row = firstRow; row < endRow; row += 1) {
    const start = row * width;
    for (let index = start + firstColumn; index < start + endColumn; index += 1) {
      into[index] = 0.299 * red[index]! + 0.587 * green[index]! + 0.114 * blue[index]!;
    }
    let before = into[start + firstColumn]!;
    let here = into[start + left]!;
    for (let column = left; column < right; column += 1) {
      const after = column < last ? into[start + column + 1]! : here;
      scratch[start + column] = (before + 2 * here + after) / 4;
      before = here;
      here = after;
    }
  }
  for (let row = top; row < bottom; row += 1) {
    const at = row * width;
    const up = Math.max(0, row - 1) * width;
    const down = Math.min(height - 1, row + 1) * width;
    for (let column = left; column < right; column += 1) {
      into[at + column] = (scratch[up + column]! + 2 * scratch[at + column]! + scratch[down + column]!) / 4;
    }
  }
}

/** Averages whole blocks so that the picture is at most `widest` wide; tells the factor. */
export function shrinkGrey(image: GreyImage, widest: number): { readonly image: GreyImage; readonly factor: number } {
  const factor = Math.max(1, Math.ceil(image.width / widest));
  return { image: shrinkBy(image, factor), factor };
}

/** Averages whole blocks of `factor` x `factor` pixels. */
export function shrinkBy(image: GreyImage, factor: number): GreyImage {
  const width = Math.floor(image.width / factor);
  const height = Math.floor(image.height / factor);
  const data = new Float32Array(width * height);
  const size = { width, height, factor, stride: image.width };
  // One loop for each kind of picture: an engine makes a slow one of a loop that meets both.
  if (image.data instanceof Uint8Array) addBytes(image.data, size, data);
  else addFloats(image.data, size, data);
  for (let index = 0; index < data.length; index += 1) data[index]! /= factor * factor;
  return { width, height, data };
}

interface Blocks {
  readonly width: number;
  readonly height: number;
  readonly factor: number;
  readonly stride: number;
}

/** Sums of whole steps: exact, below 2^24. */
function addBytes(data: Uint8Array, { width, height, factor, stride }: Blocks, into: Float32Array): void {
  const sums = new Int32Array(width);
  for (let y = 0; y < height; y += 1) {
    sums.fill(0);
    for (let row = y * factor; row < (y + 1) * factor; row += 1) {
      let from = row * stride;
      for (let x = 0; x < width; x += 1) {
        let sum = 0;
        for (const end = from + factor; from < end; from += 1) sum += data[from]!;
        sums[x]! += sum;
      }
    }
    into.set(sums, y * width);
  }
}

/** Sums are kept as single floats, as the picture they become. */
function addFloats(data: Float32Array, { width, height, factor, stride }: Blocks, into: Float32Array): void {
  for (let y = 0; y < height * factor; y += 1) {
    const to = Math.floor(y / factor) * width;
    let from = y * stride;
    for (let x = 0; x < width; x += 1) {
      let sum = into[to + x]!;
      for (const end = from + factor; from < end; from += 1) sum = Math.fround(sum + data[from]!);
      into[to + x] = sum;
    }
  }
}

/** The picture moved back by whole pixels, so that what lay at (x + dx, y + dy) lies at (x, y); edges are repeated. */
export function movedBack(image: GreyImage, dx: number, dy: number): GreyImage {
  const { width, height } = image;
  const [right, down] = [Math.round(dx), Math.round(dy)];
  if (right === 0 && down === 0) return image;
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y += 1) {
    const row = Math.min(height - 1, Math.max(0, y + down)) * width;
    for (let x = 0; x < width; x += 1) {
      data[y * width + x] = image.data[row + Math.min(width - 1, Math.max(0, x + right))]!;
    }
  }
  return { width, height, data };
}
