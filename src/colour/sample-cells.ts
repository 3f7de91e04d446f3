import type { CropRequest, RegionPixels } from '../model/frame.ts';
import type { Shift } from '../model/shift.ts';
import type { LiquidMask } from './liquid-mask.ts';
import { toReference } from './shifted-point.ts';

/**
 * The samples of a crop that are to be measured, grouped by the cells of a coarse grid over the region.
 * Sample numbers of cell k stand in `samples` from `starts[k]` up to `starts[k + 1]`, and how much each counts in `weights`.
 */
export interface SampleCells {
  readonly samples: Uint32Array;
  /** Frame pixels of the region under the sample, those counted twice twice. */
  readonly weights: Uint8Array;
  readonly starts: Uint32Array;
  /** Sum of all weights. */
  readonly total: number;
  /** Cells of the upper half come first: all cells below this number. */
  readonly upperCells: number;
  readonly cells: number;
}

/** Cells across and down. Chosen: 40 cells of about 9 x 8 samples in a 90 x 120 px region at half resolution, as large as the blocks of a film's coding (8 px). */
export const cellColumns = 5;
export const cellRows = 8;

/** Finds the samples of one frame that show kept pixels of the reference frame under a shift. */
export function arrangeSamples(
  mask: LiquidMask,
  box: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number },
  crop: CropRequest,
  pixels: Pick<RegionPixels, 'x' | 'y' | 'width' | 'height' | 'pixelsPerSample'>,
  shift: Shift,
  centre: { readonly x: number; readonly y: number },
): SampleCells {
  const cells = cellColumns * cellRows;
  const step = pixels.pixelsPerSample;
  // From a sample's centre to the middle of its first pixel.
  const inner = (step - 1) / 2;
  const origin = toReference(shift, centre, pixels.x + step / 2, pixels.y + step / 2);
  const right = toReference(shift, centre, pixels.x + 1.5 * step, pixels.y + step / 2);
  const down = toReference(shift, centre, pixels.x + step / 2, pixels.y + 1.5 * step);
  const [ax, ay] = [right[0] - origin[0], right[1] - origin[1]];
  const [bx, by] = [down[0] - origin[0], down[1] - origin[1]];
  const cellOf = new Int16Array(pixels.width * pixels.height).fill(-1);
  const weightOf = new Uint8Array(cellOf.length);
  const starts = new Uint32Array(cells + 1);
  let total = 0;
  const perX = cellColumns / (box.right - box.left);
  const perY = cellRows / (box.bottom - box.top);
  for (let row = 0, index = 0; row < pixels.height; row += 1) {
    for (let column = 0; column < pixels.width; column += 1, index += 1) {
      const x = origin[0] + column * ax + row * bx;
      const y = origin[1] + column * ay + row * by;
      const left = Math.floor(x - crop.x - inner);
      const top = Math.floor(y - crop.y - inner);
      const weight = weightUnder(mask, crop, left, top, step);
      if (weight === 0) continue;
      const cellX = Math.min(cellColumns - 1, Math.max(0, Math.floor((x - box.left) * perX)));
      const cellY = Math.min(cellRows - 1, Math.max(0, Math.floor((y - box.top) * perY)));
      const cell = cellY * cellColumns + cellX;
      cellOf[index] = cell;
      weightOf[index] = weight;
      starts[cell + 1]! += 1;
      total += weight;
    }
  }
  for (let cell = 0; cell < cells; cell += 1) starts[cell + 1]! += starts[cell]!;
  const next = starts.slice();
  const samples = new Uint32Array(starts[cells]!);
  const weights = new Uint8Array(samples.length);
  for (let index = 0; index < cellOf.length; index += 1) {
    const cell = cellOf[index]!;
    if (cell < 0) continue;
    const place = next[cell]!++;
    samples[place] = index;
    weights[place] = weightOf[index]!;
  }
  return { samples, weights, starts, total, upperCells: (cellRows >> 1) * cellColumns, cells };
}

/**
 * Weight of a sample whose first pixel is this one. A sample half outside the region counts by its half inside, so that
 * the range of path lengths does not jump as a nudged camera moves the grid over it; one that touches a pixel left out
 * (glare, glass) counts nothing, as that light is in its colour.
 */
function weightUnder({ keep, spoilt }: LiquidMask, crop: CropRequest, left: number, top: number, step: number): number {
  let weight = 0;
  for (let row = Math.max(0, top); row < Math.min(crop.height, top + step); row += 1) {
    for (let column = Math.max(0, left); column < Math.min(crop.width, left + step); column += 1) {
      const place = row * crop.width + column;
      if (spoilt[place] === 1) return 0;
      weight += keep[place]!;
    }
  }
  return weight;
}
