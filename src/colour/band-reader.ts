import type { CropRequest, RegionPixels } from '../model/frame.ts';
import type { Shift } from '../model/shift.ts';
import type { LinearRgb } from './oklab.ts';
import { arrangeSamples } from './sample-cells.ts';

/**
 * Mean colour (encoded means decoded, linear RGB) of a band of a region in one frame; `null` when none of it lies in the crop.
 * Only vials with a second layer have one, so it finds its samples anew in each frame.
 * @param band 1 for the band's pixels, on the crop's grid
 */
export function readBand(
  band: Uint8Array,
  box: { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number },
  crop: CropRequest,
  pixels: RegionPixels,
  shift: Shift,
  centre: { readonly x: number; readonly y: number },
  decode: (encoded: number) => number,
): LinearRgb | null {
  const mask = { keep: band, spoilt: new Uint8Array(band.length), leftOut: 0, band: null };
  const { samples, weights, total } = arrangeSamples(mask, box, crop, pixels, shift, centre);
  if (total === 0) return null;
  const mean = (plane: Float32Array): number => {
    let sum = 0;
    for (let entry = 0; entry < samples.length; entry += 1) sum += weights[entry]! * plane[samples[entry]!]!;
    return decode(sum / total);
  };
  return [mean(pixels.red), mean(pixels.green), mean(pixels.blue)];
}
