import type { RegionPixels } from '../model/frame.ts';
import { binCount, binOffset, binsPerUnit, type Histogram, perValue } from './midmean.ts';
import { cellColumns, cellRows, type SampleCells } from './sample-cells.ts';

/** Sums over every second sample of each cell, from which the scatter of any mixture of the channels follows. */
export interface CellSums {
  /** Per cell: count, r, g, b, rr, gg, bb, rg, rb, gb. */
  readonly sums: Float64Array;
}

export const sumsPerCell = 10;

export const createCellSums = (): CellSums => ({ sums: new Float64Array(cellColumns * cellRows * sumsPerCell) });

/**
 * One walk over the samples for all that is wanted of them: counts them into the channels' histograms, takes the mean of
 * every cell (NaN for a cell without samples), and the sums for its scatter. Three channels at once keep the processor
 * busy where one would wait for its own bin.
 */
export function sumCells(
  { red, green, blue }: Pick<RegionPixels, 'red' | 'green' | 'blue'>,
  { samples, weights, starts, cells }: SampleCells,
  histograms: readonly [Histogram, Histogram, Histogram],
  means: readonly [Float64Array, Float64Array, Float64Array],
  into: CellSums,
): void {
  const [histogramR, histogramG, histogramB] = histograms;
  const { sums } = into;
  for (let cell = 0; cell < cells; cell += 1) {
    const from = starts[cell]!;
    const to = starts[cell + 1]!;
    let r = 0;
    let g = 0;
    let b = 0;
    let total = 0;
    let count = 0;
    let r2 = 0;
    let g2 = 0;
    let b2 = 0;
    let rr = 0;
    let gg = 0;
    let bb = 0;
    let rg = 0;
    let rb = 0;
    let gb = 0;
    for (let entry = from; entry < to; entry += 1) {
      const sample = samples[entry]!;
      const vr = red[sample]!;
      const vg = green[sample]!;
      const vb = blue[sample]!;
      const weight = weights[entry]!;
      histogramR[binOf(vr)]! += weight * (perValue + vr);
      histogramG[binOf(vg)]! += weight * (perValue + vg);
      histogramB[binOf(vb)]! += weight * (perValue + vb);
      total += weight;
      r += weight * vr;
      g += weight * vg;
      b += weight * vb;
      if (((entry - from) & 1) === 1) continue;
      count += 1;
      r2 += vr;
      g2 += vg;
      b2 += vb;
      rr += vr * vr;
      gg += vg * vg;
      bb += vb * vb;
      rg += vr * vg;
      rb += vr * vb;
      gb += vg * vb;
    }
    means[0][cell] = r / total;
    means[1][cell] = g / total;
    means[2][cell] = b / total;
    const at = cell * sumsPerCell;
    sums[at] = count;
    sums[at + 1] = r2;
    sums[at + 2] = g2;
    sums[at + 3] = b2;
    sums[at + 4] = rr;
    sums[at + 5] = gg;
    sums[at + 6] = bb;
    sums[at + 7] = rg;
    sums[at + 8] = rb;
    sums[at + 9] = gb;
  }
}

function binOf(value: number): number {
  const bin = (value * binsPerUnit + binOffset) | 0;
  return bin < 0 ? 0 : bin >= binCount ? binCount - 1 : bin;
}
