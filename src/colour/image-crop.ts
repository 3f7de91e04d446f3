import type { CropRequest, RegionPixels, RgbImage } from '../model/frame.ts';
import { pooledPlanes } from '../model/pooled-planes.ts';

/** Cuts one crop out of a whole 8-bit picture, in the form the decoder gives it: one sample a pixel, or pooled as asked. */
export function cropOfImage(image: RgbImage, crop: CropRequest): RegionPixels {
  const side = crop.pooling ?? 1;
  const [width, height] = [Math.floor(crop.width / side), Math.floor(crop.height / side)];
  const { id, kind, x, y } = crop;
  const cut = { from: 3 * (y * image.width + x), stride: 3 * image.width, side, width, height };
  return { id, kind, x, y, width, height, pixelsPerSample: side, ...pooledPlanes(image.data, cut, 255) };
}
