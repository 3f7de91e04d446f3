import type { CropRequest, RegionPixels, RgbImage } from '../model/frame.ts';

/** Cuts one crop out of a whole 8-bit picture, in the form the decoder gives it (one sample a pixel). */
export function cropOfImage(image: RgbImage, crop: CropRequest): RegionPixels {
  const size = crop.width * crop.height;
  const red = new Float32Array(size);
  const green = new Float32Array(size);
  const blue = new Float32Array(size);
  for (let row = 0; row < crop.height; row += 1) {
    let from = 3 * ((crop.y + row) * image.width + crop.x);
    for (let column = 0; column < crop.width; column += 1, from += 3) {
      const to = row * crop.width + column;
      red[to] = image.data[from]! / 255;
      green[to] = image.data[from + 1]! / 255;
      blue[to] = image.data[from + 2]! / 255;
    }
  }
  return {
    id: crop.id,
    kind: crop.kind,
    x: crop.x,
    y: crop.y,
    width: crop.width,
    height: crop.height,
    pixelsPerSample: 1,
    red,
    green,
    blue,
  };
}
