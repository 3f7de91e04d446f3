import { createRandom } from '../../numeric/random.ts';

/**
 * Smooth random surface of about unit variance: values on a grid of `cell` pixels, blended between.
 * The same seed and coordinates give the same value, so that a moved camera sees the same card.
 */
export function valueNoise(seed: string, cellX: number, cellY = cellX): (x: number, y: number) => number {
  const random = createRandom(seed);
  const side = 128;
  const table = Float32Array.from({ length: side * side }, () => random.normal());
  const at = (column: number, row: number): number => table[(row & (side - 1)) * side + (column & (side - 1))]!;
  return (x, y) => {
    const column = Math.floor(x / cellX);
    const row = Math.floor(y / cellY);
    const right = ease(x / cellX - column);
    const down = ease(y / cellY - row);
    const upper = at(column, row) + right * (at(column + 1, row) - at(column, row));
    const lower = at(column, row + 1) + right * (at(column + 1, row + 1) - at(column, row + 1));
    return upper + down * (lower - upper);
  };
}

const ease = (share: number): number => share * share * (3 - 2 * share);
