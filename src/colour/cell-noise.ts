import { cellColumns, cellRows } from './sample-cells.ts';
import type { SampleCells } from './sample-cells.ts';
import { shortList } from './short-median.ts';

/** Keeps the cell means of the frame before, to tell the noise of a region's colour from its fixed pattern. */
export interface CellNoise {
  /** Cell means of this frame by channel, to be filled before {@link standardErrors}. */
  readonly means: readonly [Float64Array, Float64Array, Float64Array];
  /** Standard errors of the three channels' region colour, encoded units; the frame becomes the frame before. */
  standardErrors(cells: SampleCells, quartileRanges: readonly number[]): number[];
}

/** Weight of the newest frame in the running variance. Chosen: some four frames, as the scatter of one frame's 40 cells is known to 15 % only. */
const newestWeight = 0.25;
/** Samples that share one independent error: neighbours are alike after demosaicing and coding. Chosen; used for the first frame only. */
const alikeSamples = 8;
/** A film that repeats blocks unchanged shows no noise; its rounding stays: an 8-bit step per cell, uniform. */
const roundingSd = 1 / 255 / Math.sqrt(12);
/** Variance of the midmean against the mean for normal noise: 1 / 0.84. */
const midmeanLoss = 1 / 0.84;

export function createCellNoise(): CellNoise {
  const size = cellColumns * cellRows;
  const make = (): [Float64Array, Float64Array, Float64Array] => [
    new Float64Array(size),
    new Float64Array(size),
    new Float64Array(size),
  ];
  const means = make();
  const before = make();
  const { values: scratch, median } = shortList;
  const variance = [0, 0, 0];
  let frames = 0;
  return {
    means,
    standardErrors(cells, quartileRanges) {
      let used = 0;
      for (let cell = 0; cell < size; cell += 1) if (cells.starts[cell + 1]! > cells.starts[cell]!) used += 1;
      const floor = roundingSd ** 2 / Math.max(1, used);
      const errors = means.map((now, channel) => {
        let fresh: number;
        if (frames === 0) {
          fresh = ((quartileRanges[channel]! / 1.349) ** 2 * alikeSamples) / cells.samples.length;
        } else {
          const count = changesOf(now, before[channel]!, scratch);
          const middle = median(count);
          for (let cell = 0; cell < count; cell += 1) scratch[cell] = Math.abs(scratch[cell]! - middle);
          const sd = 1.4826 * median(count);
          fresh = sd ** 2 / 2 / Math.max(1, count);
        }
        fresh = midmeanLoss * (Number.isFinite(fresh) ? fresh : 0);
        // The first frame's value is a guess from space alone: it leaves as soon as time has spoken.
        variance[channel] = frames <= 1 ? fresh : variance[channel]! + newestWeight * (fresh - variance[channel]!);
        before[channel]!.set(now);
        return Math.sqrt(Math.max(variance[channel]!, floor));
      });
      frames += 1;
      return errors;
    },
  };
}

/** Writes the changes of the cells known in both frames; returns their number. */
function changesOf(now: Float64Array, before: Float64Array, into: Float64Array): number {
  let count = 0;
  for (let cell = 0; cell < now.length; cell += 1) {
    const change = now[cell]! - before[cell]!;
    if (!Number.isNaN(change)) into[count++] = change;
  }
  return count;
}
