import type { CropRequest, RegionPixels } from '../model/frame.ts';
import { boundingBox } from '../model/region-box.ts';
import type { Region } from '../model/region.ts';
import type { Shift } from '../model/shift.ts';
import { colouredBand, createRowColours } from './coloured-band.ts';
import { contains } from './region-geometry.ts';
import { fitSurface } from './robust-surface.ts';
import type { SurfaceFit } from './robust-surface.ts';
import { toReference } from './shifted-point.ts';

/** Share of the looks in which a pixel must stand out to be left out for the whole run. Chosen: a glare stripe is there in every frame, a passing hand or bubble in few. */
const persistentShare = 1 / 3;
/** If less than this share of the region would remain, nothing is left out: then the smooth surface was not the liquid. */
const smallestRemainder = 0.25;

/**
 * Which pixels of a region are liquid fit to be measured, on the pixel grid of the reference frame.
 * Decided once from looks over the run and then kept: a mask remade per frame would weigh other parts of a round vial
 * (other path lengths) as the glare or the colour changes, and bend the extent.
 */
export interface LiquidMask {
  /**
   * How often a pixel counts; row by row over the crop, one entry a frame pixel. 0: left out; 1: measured; 2: measured for its mirror
   * image too, which is left out. A round vial is symmetric about its axis, so a stripe of glare on one side then changes the range
   * of path lengths seen by nothing (without it a stripe over a quarter of the width moved a strongly absorbed channel by 2 %).
   */
  readonly keep: Uint8Array;
  /** 1: in the region and left out; same grid. */
  readonly spoilt: Uint8Array;
  /** Share of the region left out as glare, edge or meniscus, 0..1. */
  readonly leftOut: number;
  /** 1: in a band of rows that is left out but coloured, a second liquid layer; same grid. `null`: there is none. */
  readonly band: Uint8Array | null;
}

/** Gathers votes of several looks at one region. */
export interface MaskLearner {
  look(pixels: RegionPixels, shift: Shift): void;
  readonly looks: number;
  decide(): LiquidMask;
}

export function createMaskLearner(
  region: Region,
  crop: CropRequest,
  centre: { readonly x: number; readonly y: number },
): MaskLearner {
  const inside = new Uint8Array(crop.width * crop.height);
  for (let row = 0; row < crop.height; row += 1) {
    for (let column = 0; column < crop.width; column += 1) {
      inside[row * crop.width + column] = contains(region, crop.x + column + 0.5, crop.y + row + 0.5) ? 1 : 0;
    }
  }
  const seen = new Uint16Array(inside.length);
  const flagged = new Uint16Array(inside.length);
  const rows = createRowColours(crop.width, crop.height);
  let looks = 0;
  let places = new Int32Array(0);
  let samples = new Int32Array(0);

  return {
    get looks() {
      return looks;
    },
    look(pixels, shift) {
      looks += 1;
      const { width, red, pixelsPerSample } = pixels;
      if (places.length < red.length) {
        places = new Int32Array(red.length);
        samples = new Int32Array(red.length);
      }
      let count = 0;
      // A shift is affine: one point and two steps give the place of every sample's first pixel.
      const [left, top] = firstPixel(pixels);
      const [startX, startY] = toReference(shift, centre, left, top);
      const [rightX, rightY] = toReference(shift, centre, left + pixelsPerSample, top);
      const [acrossX, acrossY] = [rightX - startX, rightY - startY];
      for (let index = 0; index < red.length; index += 1) {
        const right = index % width;
        const down = (index - right) / width;
        const column = Math.floor(startX + right * acrossX - down * acrossY - crop.x);
        const row = Math.floor(startY + right * acrossY + down * acrossX - crop.y);
        if (column < 0 || row < 0 || column >= crop.width || row >= crop.height) continue;
        const place = row * crop.width + column;
        if (inside[place] === 0) continue;
        places[count] = place;
        samples[count] = index;
        count += 1;
      }
      const flags = flagOutstanding(pixels, samples.subarray(0, count));
      rows.look(pixels, places.subarray(0, count), samples.subarray(0, count), flags);
      // One look of a coarse grid speaks for all the frame pixels that its sample covers.
      for (let entry = 0; entry < count; entry += 1) {
        for (let down = 0; down < pixelsPerSample; down += 1) {
          for (let right = 0; right < pixelsPerSample; right += 1) {
            const place = places[entry]! + down * crop.width + right;
            if (place < 0 || place >= inside.length || inside[place] === 0) continue;
            seen[place]! += 1;
            flagged[place]! += flags[entry]!;
          }
        }
      }
    },
    decide() {
      const bad = new Uint8Array(inside.length);
      for (let place = 0; place < bad.length; place += 1) {
        bad[place] = seen[place]! > 0 && flagged[place]! >= persistentShare * seen[place]! ? 1 : 0;
      }
      const beside = withNeighbours(bad, crop.width, crop.height);
      const keep = new Uint8Array(inside.length);
      let total = 0;
      let kept = 0;
      for (let place = 0; place < keep.length; place += 1) {
        if (inside[place] === 0) continue;
        total += 1;
        if (beside[place] === 1) continue;
        keep[place] = 1;
        kept += 1;
      }
      const none = new Uint8Array(inside.length);
      if (kept < smallestRemainder * total) return { keep: inside.slice(), spoilt: none, leftOut: 0, band: null };
      const band = colouredBand(keep, inside, crop.width, rows);
      const spoilt = none.map((_, place) => (inside[place] === 1 && keep[place] === 0 ? 1 : 0));
      countMirrored(keep, inside, crop.width, boxCentre(region) - crop.x);
      return { keep, spoilt, leftOut: total === 0 ? 0 : 1 - kept / total, band };
    },
  };
}

/** 1 for samples that stand out of the smooth surface of the liquid: glare (lighter in all channels at once) or edges (far off in any). */
function flagOutstanding(pixels: RegionPixels, samples: Int32Array): Uint8Array {
  const n = samples.length;
  const flags = new Uint8Array(n);
  // Fewer samples cannot carry the surface.
  if (n < 20) return flags;
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  for (let entry = 0; entry < n; entry += 1) {
    x[entry] = samples[entry]! % pixels.width;
    y[entry] = Math.floor(samples[entry]! / pixels.width);
  }
  scale(x);
  scale(y);
  const fit = (plane: Float32Array): SurfaceFit => {
    const values = new Float64Array(n);
    for (let entry = 0; entry < n; entry += 1) values[entry] = plane[samples[entry]!]!;
    return fitSurface(x, y, values);
  };
  const [red, green, blue] = [fit(pixels.red), fit(pixels.green), fit(pixels.blue)];
  // Chosen on simulated stripes: 2.5 sigma and 3 steps of 8 bit on average over the channels, a sigma and a step in each; an edge is 6 sigma and 20 steps in any.
  const [lightR, lightG, lightB] = [lightest(red), lightest(green), lightest(blue)];
  const [edgeR, edgeG, edgeB] = [farthest(red), farthest(green), farthest(blue)];
  for (let entry = 0; entry < n; entry += 1) {
    const r = red.residual[entry]!;
    const g = green.residual[entry]!;
    const b = blue.residual[entry]!;
    const glare =
      r > lightR &&
      g > lightG &&
      b > lightB &&
      r / red.sigma + g / green.sigma + b / blue.sigma > 7.5 &&
      r + g + b > 9 / 255;
    if (glare || Math.abs(r) > edgeR || Math.abs(g) > edgeG || Math.abs(b) > edgeB) flags[entry] = 1;
  }
  return flags;
}

const lightest = ({ sigma }: SurfaceFit): number => Math.max(sigma, 1 / 255);
const farthest = ({ sigma }: SurfaceFit): number => Math.max(6 * sigma, 20 / 255);

function scale(values: Float64Array): void {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  const half = Math.max((high - low) / 2, 1);
  const middle = (high + low) / 2;
  for (let index = 0; index < values.length; index += 1) values[index] = (values[index]! - middle) / half;
}

const boxCentre = (region: Region): number => {
  const box = boundingBox(region);
  return (box.left + box.right) / 2;
};

/** Lets a kept pixel count twice where its mirror image about the vertical axis is in the region but left out. */
function countMirrored(keep: Uint8Array, inside: Uint8Array, width: number, axis: number): void {
  const single = keep.slice();
  for (let place = 0; place < keep.length; place += 1) {
    if (single[place] === 0) continue;
    const column = place % width;
    const mirrored = Math.floor(2 * axis - (column + 0.5));
    if (mirrored < 0 || mirrored >= width || mirrored === column) continue;
    const other = place - column + mirrored;
    if (inside[other] === 1 && single[other] === 0) keep[place] = 2;
  }
}

/** 1: one of these pixels, or beside one. */
function withNeighbours(bad: Uint8Array, width: number, height: number): Uint8Array {
  const beside = new Uint8Array(bad.length);
  for (let place = bad.indexOf(1); place >= 0; place = bad.indexOf(1, place + 1)) {
    const column = place % width;
    const row = (place - column) / width;
    const [left, right] = [Math.max(0, column - 1), Math.min(width - 1, column + 1)];
    for (let y = Math.max(0, row - 1); y <= Math.min(height - 1, row + 1); y += 1) {
      beside.fill(1, y * width + left, y * width + right + 1);
    }
  }
  return beside;
}

/** Middle of the upper left frame pixel that the first sample covers. */
const firstPixel = ({ x, y }: RegionPixels): readonly [number, number] => [x + 0.5, y + 0.5];
