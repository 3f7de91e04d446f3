import { readFile } from 'node:fs/promises';
import type { RgbImage } from '../../model/frame.ts';
import type { Rect } from '../upright.ts';

/** Decodes a HEIC picture whole (8 bit, rotation in the file applied) and cuts a box out; no profile is applied. */
export async function readHeic(file: string, box: Rect | null): Promise<RgbImage> {
  // Loaded only when needed: it brings 1 MB of WebAssembly.
  const { default: decode } = await import('heic-decode');
  const { width, height, data } = await decode({ buffer: await readFile(file) });
  const area = box ?? { x: 0, y: 0, width, height };
  const rgb = new Uint8Array(3 * area.width * area.height);
  for (let row = 0, to = 0; row < area.height; row++) {
    let from = 4 * ((area.y + row) * width + area.x);
    for (let column = 0; column < area.width; column++, from += 4, to += 3) {
      rgb[to] = data[from]!;
      rgb[to + 1] = data[from + 1]!;
      rgb[to + 2] = data[from + 2]!;
    }
  }
  return { width: area.width, height: area.height, data: rgb };
}
