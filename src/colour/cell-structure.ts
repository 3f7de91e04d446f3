import { type CellSums, sumsPerCell } from './cell-sums.ts';
import type { SampleCells } from './sample-cells.ts';
import { shortList } from './short-median.ts';
import { linearRgbToOklab, oklabDistance } from './oklab.ts';
import type { LinearRgb } from './oklab.ts';
import { lightnessSlopes } from './oklab-error.ts';

const { values: scratch, median } = shortList;

/** OKLab distance between the upper and the lower half of a region (medians of the cells, encoded means decoded); 0 where a half has no samples. */
export function halvesDistance(
  means: readonly Float64Array[],
  cells: SampleCells,
  decode: (encoded: number) => number,
): number {
  const middle = (values: Float64Array, from: number, to: number): number => {
    let count = 0;
    for (let cell = from; cell < to; cell += 1) if (!Number.isNaN(values[cell]!)) scratch[count++] = values[cell]!;
    return decode(median(count));
  };
  const half = (from: number, to: number): LinearRgb | null => {
    const red = middle(means[0]!, from, to);
    return Number.isNaN(red) ? null : [red, middle(means[1]!, from, to), middle(means[2]!, from, to)];
  };
  const upper = half(0, cells.upperCells);
  const lower = half(cells.upperCells, cells.cells);
  return upper === null || lower === null ? 0 : oklabDistance(linearRgbToOklab(upper), linearRgbToOklab(lower));
}

/**
 * Scatter of OKLab lightness inside the region: the median over the cells of the standard deviation within a cell,
 * every second sample. Slow gradients across the vial drop out; bubbles and grains stay.
 */
export function lightnessTexture(
  { sums }: CellSums,
  cells: SampleCells,
  rgb: LinearRgb,
  slopes: readonly number[],
): number {
  const lightness = lightnessSlopes(rgb);
  const r = lightness[0] * slopes[0]!;
  const g = lightness[1] * slopes[1]!;
  const b = lightness[2] * slopes[2]!;
  let known = 0;
  for (let cell = 0; cell < cells.cells; cell += 1) {
    const at = cell * sumsPerCell;
    const count = sums[at]!;
    if (count < 4) continue;
    const sum = r * sums[at + 1]! + g * sums[at + 2]! + b * sums[at + 3]!;
    const squares =
      r * r * sums[at + 4]! +
      g * g * sums[at + 5]! +
      b * b * sums[at + 6]! +
      2 * (r * g * sums[at + 7]! + r * b * sums[at + 8]! + g * b * sums[at + 9]!);
    scratch[known++] = Math.sqrt(Math.max(0, squares - (sum * sum) / count) / (count - 1));
  }
  return known === 0 ? 0 : median(known);
}
