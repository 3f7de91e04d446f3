import { decodeTransfer } from '../colour/transfer.ts';
import { linearRgbToOklab } from '../colour/oklab.ts';
import type { RgbImage } from '../model/frame.ts';

/** A shrunk picture in OKLab, planes row by row. */
export interface SmallOklab {
  readonly width: number;
  readonly height: number;
  /** Pixels of the frame along one side of a pixel here. */
  readonly factor: number;
  readonly lightness: Float32Array;
  readonly a: Float32Array;
  readonly b: Float32Array;
  /** 1 where any pixel of the block has a channel at 254 or more. */
  readonly clipped: Uint8Array;
}

/** Shrinks by whole blocks (means in linear light) to at most `widest` pixels across and converts to OKLab; sRGB pictures. */
export function shrinkToOklab(image: RgbImage, widest: number): SmallOklab {
  const factor = Math.max(1, Math.ceil(image.width / widest));
  const width = Math.floor(image.width / factor);
  const height = Math.floor(image.height / factor);
  const decode = decodeTransfer('srgb');
  const linear = Float64Array.from({ length: 256 }, (_, value) => decode(value / 255));
  const size = width * height;
  const sums = new Float64Array(3 * size);
  const clipped = new Uint8Array(size);
  for (let y = 0; y < height * factor; y += 1) {
    let from = 3 * y * image.width;
    let to = Math.floor(y / factor) * width;
    for (let column = 0; column < width; column += 1, to += 1) {
      for (let within = 0; within < factor; within += 1, from += 3) {
        const red = image.data[from]!;
        const green = image.data[from + 1]!;
        const blue = image.data[from + 2]!;
        sums[3 * to]! += linear[red]!;
        sums[3 * to + 1]! += linear[green]!;
        sums[3 * to + 2]! += linear[blue]!;
        if (red >= 254 || green >= 254 || blue >= 254) clipped[to] = 1;
      }
    }
  }
  const planes = [0, 1, 2].map(() => new Float32Array(size)) as [Float32Array, Float32Array, Float32Array];
  const area = factor * factor;
  for (let index = 0; index < size; index += 1) {
    const lab = linearRgbToOklab([sums[3 * index]! / area, sums[3 * index + 1]! / area, sums[3 * index + 2]! / area]);
    for (let plane = 0; plane < 3; plane += 1) planes[plane]![index] = lab[plane]!;
  }
  return { width, height, factor, lightness: planes[0], a: planes[1], b: planes[2], clipped };
}
