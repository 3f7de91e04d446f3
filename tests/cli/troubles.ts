import type { RgbImage } from '../../src/model/frame.ts';

type Trouble = (image: RgbImage) => RgbImage;

const each = (image: RgbImage, change: (red: number, green: number, blue: number) => readonly number[]): RgbImage => {
  const data = new Uint8Array(image.data.length);
  for (let p = 0; p < data.length; p += 3) {
    const changed = change(image.data[p]!, image.data[p + 1]!, image.data[p + 2]!);
    data.set(
      changed.map((value) => Math.min(255, Math.max(0, Math.round(value)))),
      p,
    );
  }
  return { ...image, data };
};

/** The lamp is off; a little light comes under the door. */
export const lightsOff: Trouble = (image) => each(image, (...rgb) => rgb.map((value) => 0.15 * value));

/** A night mode: infrared lamp and no colour. */
export const nightMode: Trouble = (image) =>
  each(image, (red, green, blue) => {
    const grey = 60 + 0.6 * (0.3 * red + 0.6 * green + 0.1 * blue);
    return [grey, grey, grey];
  });

/** The glass before the lens mists over: sharp detail goes, a veil comes. */
export const mist: Trouble = (image) =>
  each(blurred(image, 8), (...rgb) => rgb.map((value) => 0.45 * value + 0.55 * 170));

/** The focus breathes: out of focus. */
export const outOfFocus: Trouble = (image) => blurred(image, 7);

/** Running mean over a square of 2 `radius` + 1 pixels, rows first. */
function blurred(image: RgbImage, radius: number): RgbImage {
  const { width, height } = image;
  const pass = (data: Uint8Array, length: number, lines: number, step: number, stride: number): Uint8Array => {
    const out = new Uint8Array(data.length);
    for (let line = 0; line < lines; line += 1) {
      for (let at = 0; at < length; at += 1) {
        for (let channel = 0; channel < 3; channel += 1) {
          let sum = 0;
          for (let off = -radius; off <= radius; off += 1) {
            const place = Math.min(length - 1, Math.max(0, at + off));
            sum += data[3 * (line * stride + place * step) + channel]!;
          }
          out[3 * (line * stride + at * step) + channel] = Math.round(sum / (2 * radius + 1));
        }
      }
    }
    return out;
  };
  const rows = pass(image.data, width, height, 1, width);
  return { ...image, data: pass(rows, height, width, width, 1) };
}

/** Frames from `from` to `to`, both counted, with a trouble. */
export function during(images: readonly RgbImage[], from: number, to: number, trouble: Trouble): readonly RgbImage[] {
  return images.map((image, index) => (index >= from && index <= to ? trouble(image) : image));
}
