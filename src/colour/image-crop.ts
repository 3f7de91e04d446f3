import type { CropRequest, RegionPixels, RgbImage } from '../model/frame.ts';

/** Cuts one crop out of a whole 8-bit picture, in the form the decoder gives it: one sample a pixel, or pooled as asked. */
export function cropOfImage(image: RgbImage, crop: CropRequest): RegionPixels {
  const side = crop.pooling ?? 1;
  const [width, height] = [Math.floor(crop.width / side), Math.floor(crop.height / side)];
  const red = new Float32Array(width * height);
  const green = new Float32Array(width * height);
  const blue = new Float32Array(width * height);
  const { data } = image;
  const scale = 1 / (255 * side * side);
  for (let row = 0, to = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1, to += 1) {
      let [r, g, b] = [0, 0, 0];
      for (let down = 0; down < side; down += 1) {
        let from = 3 * ((crop.y + row * side + down) * image.width + crop.x + column * side);
        for (const end = from + 3 * side; from < end; from += 3) {
          r += data[from]!;
          g += data[from + 1]!;
          b += data[from + 2]!;
        }
      }
      red[to] = r * scale;
      green[to] = g * scale;
      blue[to] = b * scale;
    }
  }
  const { id, kind, x, y } = crop;
  return { id, kind, x, y, width, height, pixelsPerSample: side, red, green, blue };
}
