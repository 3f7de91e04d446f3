import { PNG } from 'pngjs';
import type { RgbImage } from '../model/frame.ts';

/** A small PNG as a picture, 8 bit; `null` when it is damaged. */
export function decodePng(bytes: Uint8Array): RgbImage | null {
  try {
    const { width, height, data: rgba } = PNG.sync.read(Buffer.from(bytes));
    const data = new Uint8Array(3 * width * height);
    for (let from = 0, to = 0; to < data.length; from += 4, to += 3) data.set(rgba.subarray(from, from + 3), to);
    return { width, height, data };
  } catch {
    return null;
  }
}
