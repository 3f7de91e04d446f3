import { medianInPlace } from './median.ts';
import type { SampleCells } from './sample-cells.ts';
import { linearRgbToOklab, oklabDistance } from './oklab.ts';
import type { LinearRgb } from './oklab.ts';
import { oklabSlopes } from './oklab-error.ts';

/** OKLab distance between the upper and the lower half of a region (medians of the cells, encoded means decoded); 0 where a half has no samples. */
export function halvesDistance(
  means: readonly Float64Array[],
  cells: SampleCells,
  decode: (encoded: number) => number,
): number {
  const scratch = new Float64Array(cells.cells);
  const middle = (values: Float64Array, from: number, to: number): number => {
    let count = 0;
    for (let cell = from; cell < to; cell += 1) if (!Number.isNaN(values[cell]!)) scratch[count++] = values[cell]!;
    return decode(medianInPlace(scratch, count));
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
  planes: readonly [Float32Array, Float32Array, Float32Array],
  cells: SampleCells,
  rgb: LinearRgb,
  slopes: readonly number[],
): number {
  const [toRed, toGreen, toBlue] = oklabSlopes(rgb)[0]!.map((slope, channel) => slope * slopes[channel]!) as [
    number,
    number,
    number,
  ];
  const [red, green, blue] = planes;
  const spreads = new Float64Array(cells.cells);
  let known = 0;
  for (let cell = 0; cell < cells.cells; cell += 1) {
    const from = cells.starts[cell]!;
    const to = cells.starts[cell + 1]!;
    if (to - from < 8) continue;
    let count = 0;
    let sum = 0;
    let squares = 0;
    const first = cells.samples[from]!;
    const base = toRed * red[first]! + toGreen * green[first]! + toBlue * blue[first]!;
    for (let entry = from; entry < to; entry += 2) {
      const index = cells.samples[entry]!;
      const value = toRed * red[index]! + toGreen * green[index]! + toBlue * blue[index]! - base;
      count += 1;
      sum += value;
      squares += value * value;
    }
    spreads[known++] = Math.sqrt(Math.max(0, squares - (sum * sum) / count) / (count - 1));
  }
  return known === 0 ? 0 : medianInPlace(spreads, known);
}
