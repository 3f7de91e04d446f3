import type { RegionPixels } from '../../model/frame.ts';
import type { destination } from '../upright.ts';
import { chromaSize } from '../pixel-format.ts';
import type { Coefficients, Samples } from './coefficients.ts';
import type { CropPlan, Piece, PlannedRegion } from './crop-plan.ts';

/** Raw planes of one picture: where they begin, and the same bytes four at a time where that is possible. */
export interface Planes {
  readonly samples: Samples;
  /** Eight-bit samples as words of four; `null` for deep ones and unaligned buffers. */
  readonly words: Int32Array | null;
  readonly starts: readonly [luma: number, blue: number, red: number];
}

export function planesOf(plan: Pick<CropPlan, 'format' | 'width' | 'height'>, samples: Samples): Planes {
  const [chromaWidth, chromaHeight] = chromaSize(plan.format, plan.width, plan.height);
  const luma = plan.width * plan.height;
  const aligned = samples instanceof Uint8Array && samples.byteOffset % 4 === 0;
  const words = aligned ? new Int32Array(samples.buffer, samples.byteOffset, samples.byteLength >> 2) : null;
  return { samples, words, starts: [0, luma, luma + chromaWidth * chromaHeight] };
}

type Target = Pick<ReturnType<typeof destination>, 'start' | 'dx' | 'dy'>;

/**
 * One piece of a region as samples of 2 x 2, 4 x 4 or 8 x 8 pixels: luma and chroma averaged over each (the quarter-pixel
 * siting of chroma does not matter to regions), then turned into R'G'B'. Sums of codes are exact.
 */
export function poolPiece(
  planes: Planes,
  plan: CropPlan,
  { pixelsPerSample: side }: Pick<PlannedRegion, 'pixelsPerSample'>,
  piece: Piece,
  factors: Coefficients,
  { red, green, blue }: Pick<RegionPixels, 'red' | 'green' | 'blue'>,
  target: Target,
): void {
  const { lumaZero, luma, chromaZero, redCr, greenCb, greenCr, blueCb } = factors;
  const { format, width: stride } = plan;
  const { samples, words, starts } = planes;
  if (side === 4 && words !== null && canPoolFours(plan, piece)) {
    poolFours(samples as Uint8Array, words, starts, stride, piece, factors, { red, green, blue }, target);
    return;
  }
  const chromaStride = Math.ceil(stride / format.chromaX);
  const across = side / format.chromaX;
  const down = side / format.chromaY;
  const lumaScale = luma / (side * side);
  const chromaScale = 1 / (across * down);
  const count = piece.width / side;
  const dark = lumaZero * side * side;
  for (let y = 0; y < piece.height; y += side) {
    const first = starts[0] + (piece.stackY + y) * stride + piece.stackX;
    const chroma = Math.floor((piece.stackY + y) / format.chromaY) * chromaStride + piece.stackX / format.chromaX;
    let at = target.start + (y / side) * target.dy;
    for (let column = 0; column < count; column++, at += target.dx) {
      const from = first + column * side;
      const sum = sumBlock(samples, from, stride, side, side);
      const place = chroma + column * across;
      const cb = sumBlock(samples, starts[1] + place, chromaStride, across, down) * chromaScale - chromaZero;
      const cr = sumBlock(samples, starts[2] + place, chromaStride, across, down) * chromaScale - chromaZero;
      const light = (sum - dark) * lumaScale;
      red[at] = light + redCr * cr;
      green[at] = light + greenCb * cb + greenCr * cr;
      blue[at] = light + blueCb * cb;
    }
  }
}

/** One piece of a region as its luma alone. */
export function poolLightness(
  { samples, starts }: Planes,
  { width: stride }: CropPlan,
  { pixelsPerSample: side }: Pick<PlannedRegion, 'pixelsPerSample'>,
  piece: Piece,
  { lumaZero, luma }: Coefficients,
  into: Float32Array,
  target: Target,
): void {
  const scale = luma / (side * side);
  const dark = lumaZero * side * side;
  for (let y = 0; y < piece.height; y += side) {
    let from = starts[0] + (piece.stackY + y) * stride + piece.stackX;
    let at = target.start + (y / side) * target.dy;
    for (const end = from + piece.width; from < end; from += side, at += target.dx) {
      into[at] = (sumBlock(samples, from, stride, side, side) - dark) * scale;
    }
  }
}

function sumBlock(samples: Samples, from: number, stride: number, width: number, height: number): number {
  if (width === 1 && height === 1) return samples[from]!;
  if (width === 2 && height === 2) {
    return samples[from]! + samples[from + 1]! + samples[from + stride]! + samples[from + stride + 1]!;
  }
  let sum = 0;
  for (let row = 0, start = from; row < height; row++, start += stride) {
    for (let at = start; at < start + width; at++) sum += samples[at]!;
  }
  return sum;
}

const canPoolFours = ({ format, width }: CropPlan, { stackX, stackY }: Piece): boolean =>
  format.chromaX === 2 && format.chromaY === 2 && width % 4 === 0 && stackX % 4 === 0 && stackY % 2 === 0;

/**
 * The usual case, 4 x 4 pixels of 8-bit 4:2:0, at a third of the cost: a row of four is read as one word, and its bytes
 * are added two by two in its halves (16 bytes of 255 stay below 2^16).
 */
function poolFours(
  samples: Uint8Array,
  words: Int32Array,
  [, blueStart, redStart]: Planes['starts'],
  stride: number,
  piece: Piece,
  { lumaZero, luma, chromaZero, redCr, greenCb, greenCr, blueCb }: Coefficients,
  { red, green, blue }: Pick<RegionPixels, 'red' | 'green' | 'blue'>,
  { start, dx, dy }: Target,
): void {
  const wordStride = stride >> 2;
  const chromaStride = stride >> 1;
  const even = 0x00ff00ff;
  const lumaScale = luma / 16;
  const dark = 16 * lumaZero;
  const grey = 4 * chromaZero;
  const [redScale, greenBlue, greenRed, blueScale] = [redCr / 4, greenCb / 4, greenCr / 4, blueCb / 4];
  const count = piece.width >> 2;
  for (let y = 0; y < piece.height; y += 4) {
    const row = piece.stackY + y;
    const chroma = (row >> 1) * chromaStride + (piece.stackX >> 1);
    let word = row * wordStride + (piece.stackX >> 2);
    let b = blueStart + chroma;
    let r = redStart + chroma;
    let at = start + (y >> 2) * dy;
    for (const end = word + count; word < end; word++, b += 2, r += 2, at += dx) {
      const first = words[word]!;
      const second = words[word + wordStride]!;
      const third = words[word + 2 * wordStride]!;
      const fourth = words[word + 3 * wordStride]!;
      const pairs =
        (first & even) +
        ((first >>> 8) & even) +
        (second & even) +
        ((second >>> 8) & even) +
        (third & even) +
        ((third >>> 8) & even) +
        (fourth & even) +
        ((fourth >>> 8) & even);
      const light = ((pairs & 0xffff) + (pairs >>> 16) - dark) * lumaScale;
      const b2 = b + chromaStride;
      const r2 = r + chromaStride;
      const cb = samples[b]! + samples[b + 1]! + samples[b2]! + samples[b2 + 1]! - grey;
      const cr = samples[r]! + samples[r + 1]! + samples[r2]! + samples[r2 + 1]! - grey;
      red[at] = light + redScale * cr;
      green[at] = light + greenBlue * cb + greenRed * cr;
      blue[at] = light + blueScale * cb;
    }
  }
}
