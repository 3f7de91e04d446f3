import type { RegionPixels } from './frame.ts';

/** A cut of interleaved R'G'B' codes. */
export interface Cut {
  /** Place of its first code, and how many codes its rows are apart. */
  readonly from: number;
  readonly stride: number;
  /** Size in samples, each the mean of `side` x `side` pixels. */
  readonly side: number;
  readonly width: number;
  readonly height: number;
}

export type Planes = Pick<RegionPixels, 'red' | 'green' | 'blue'>;

/**
 * Planes of means of a cut, 0..1, where `maximum` is the largest code. It belongs to the record: whoever decodes and whoever cuts
 * whole pictures asks for it. Codes add up exactly.
 */
export function pooledPlanes(
  codes: Uint8Array | Uint16Array,
  { from, stride, side, width, height }: Cut,
  maximum: number,
): Planes {
  const planes = emptyPlanes(width * height);
  const { red, green, blue } = planes;
  const scale = 1 / (maximum * side * side);
  for (let row = 0, to = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1, to += 1) {
      let [r, g, b] = [0, 0, 0];
      for (let down = 0; down < side; down += 1) {
        let at = from + (row * side + down) * stride + 3 * column * side;
        for (const end = at + 3 * side; at < end; at += 3) {
          r += codes[at]!;
          g += codes[at + 1]!;
          b += codes[at + 2]!;
        }
      }
      red[to] = r * scale;
      green[to] = g * scale;
      blue[to] = b * scale;
    }
  }
  return planes;
}

export const emptyPlanes = (count: number): Planes => ({
  red: new Float32Array(count),
  green: new Float32Array(count),
  blue: new Float32Array(count),
});
