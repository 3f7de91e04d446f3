import type { Format } from './media-formats.ts';

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Vials of a rack that fills the middle of the frame: 24 large ones, or 96 small ones, drawn in the film. */
export function vialBoxes(count: number, { width, height }: Pick<Format, 'width' | 'height'>): readonly Box[] {
  const [columns, rows] = count > 24 ? [12, 8] : [6, 4];
  const [cellX, cellY] = [(width * 0.8) / columns, (height * 0.72) / rows];
  const all = Array.from({ length: columns * rows }, (_, at) => ({
    x: 2 * Math.round((width * 0.12 + ((at % columns) + 0.3) * cellX) / 2),
    y: 2 * Math.round((height * 0.2 + (Math.floor(at / columns) + 0.2) * cellY) / 2),
    width: 2 * Math.round((cellX * 0.4) / 2),
    height: 2 * Math.round((cellY * 0.65) / 2),
  }));
  // Fewer regions than vials: spread over the same film.
  const step = all.length / count;
  return Array.from({ length: count }, (_, at) => all[Math.floor(at * step)]!);
}

/** Where a neutral card is seen. */
export const whiteBox = ({ width, height }: Pick<Format, 'width' | 'height'>): Box => ({
  x: 2 * Math.round(width * 0.2),
  y: 2 * Math.round(height * 0.02),
  width: 2 * Math.round(width * 0.05),
  height: 2 * Math.round(height * 0.05),
});

/** Encoded colour of a vial, 0..255: orange to green in all but each fourth. */
export function vialColour(vial: number, share: number): readonly [number, number, number] {
  const extent = vial % 4 === 0 ? 0.01 * share : 1 - Math.exp(-4 * share);
  return [220 - 150 * extent, 140 - 20 * extent, 20 + 60 * extent];
}

/** A still texture at the left edge for the camera to be followed by. */
export const textured = (x: number, y: number, width: number): boolean =>
  x < width * 0.08 && ((x >> 4) * 7 + (y >> 4) * 13) % 3 === 0;

export const wall = 180;
export const mark = 120;
export const card = 225;

/** Uniform noise of 0..`levels`-1, another stretch of it for every frame, so that no codec can copy from the frame before. */
export function noiseTable(levels: number): Uint8Array {
  const noise = new Uint8Array(1 << 22);
  let seed = 1;
  for (let at = 0; at < noise.length; at += 1) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    noise[at] = (seed >>> 24) % levels;
  }
  return noise;
}
