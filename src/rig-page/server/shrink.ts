import { cropOfImage } from '../../colour/image-crop.ts';
import type { CropRequest, RegionPixels, RgbImage } from '../../model/frame.ts';

/** A picture whose every sample is the mean of `factor` x `factor` frame pixels; the rest at the edges is cut. */
export interface ShrunkImage extends RgbImage {
  readonly factor: number;
}

/** Means of encoded values, as the decoder averages where a film keeps one colour for 2 x 2 pixels. */
export function shrink(image: RgbImage, factor: number): ShrunkImage {
  if (factor <= 1) return { ...image, factor: 1 };
  const width = Math.floor(image.width / factor);
  const height = Math.floor(image.height / factor);
  const data = new Uint8Array(3 * width * height);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      for (let channel = 0; channel < 3; channel += 1) {
        let sum = 0;
        for (let dy = 0; dy < factor; dy += 1) {
          const row = 3 * ((y * factor + dy) * image.width + x * factor) + channel;
          for (let dx = 0; dx < factor; dx += 1) sum += image.data[row + 3 * dx]!;
        }
        data[3 * (y * width + x) + channel] = Math.round(sum / (factor * factor));
      }
    }
  }
  return { width, height, data, factor };
}

/** Factor that brings a picture to at most so many pixels. */
export const shrinkFactor = (image: { width: number; height: number }, mostPixels: number): number =>
  Math.max(1, Math.ceil(Math.sqrt((image.width * image.height) / mostPixels)));

/** The samples of one crop of a whole picture, `side` x `side` pixels each, as the decoder would hand them over. */
export function samplesOfImage(image: RgbImage, crop: CropRequest, side: 1 | 2): RegionPixels {
  if (side === 1) return cropOfImage(image, crop);
  const [left, top] = [crop.x & ~1, crop.y & ~1];
  const width = Math.min(image.width - left, crop.x + crop.width - left + 1) >> 1;
  const height = Math.min(image.height - top, crop.y + crop.height - top + 1) >> 1;
  const row = 3 * image.width;
  const planes = [0, 1, 2].map((channel) => {
    const plane = new Float32Array(width * height);
    for (let y = 0; y < height; y += 1) {
      for (let x = 0; x < width; x += 1) {
        const at = row * (top + 2 * y) + 3 * (left + 2 * x) + channel;
        const { data } = image;
        plane[y * width + x] = (data[at]! + data[at + 3]! + data[at + row]! + data[at + row + 3]!) / (4 * 255);
      }
    }
    return plane;
  });
  const { id, kind } = crop;
  const place = { x: left, y: top, width, height, pixelsPerSample: 2 };
  return { id, kind, ...place, red: planes[0]!, green: planes[1]!, blue: planes[2]! };
}

/** The samples of one crop of a shrunk picture, as the decoder would hand them over. */
export function cropOfShrunk(image: ShrunkImage, crop: CropRequest): RegionPixels {
  const { factor } = image;
  const left = Math.min(image.width - 1, Math.floor(crop.x / factor));
  const top = Math.min(image.height - 1, Math.floor(crop.y / factor));
  const width = Math.max(1, Math.min(image.width - left, Math.ceil(crop.width / factor)));
  const height = Math.max(1, Math.min(image.height - top, Math.ceil(crop.height / factor)));
  const planes = [0, 1, 2].map((channel) => {
    const plane = new Float32Array(width * height);
    for (let y = 0; y < height; y += 1) {
      for (let x = 0; x < width; x += 1) {
        plane[y * width + x] = image.data[3 * ((top + y) * image.width + left + x) + channel]! / 255;
      }
    }
    return plane;
  });
  const { id, kind } = crop;
  const place = { x: left * factor, y: top * factor, width, height, pixelsPerSample: factor };
  return { id, kind, ...place, red: planes[0]!, green: planes[1]!, blue: planes[2]! };
}
