import type { RegionPixels } from '../model/frame.ts';
import { medianInPlace } from './median.ts';
import { decodeTransfer, type TransferName } from './transfer.ts';

/** Linear colour of a plain piece of picture: the median of each channel, decoded. `null` for a crop without samples. */
export function plainColour(pixels: RegionPixels, transfer: TransferName): readonly [number, number, number] | null {
  const count = pixels.width * pixels.height;
  if (count === 0) return null;
  const decode = decodeTransfer(transfer);
  const of = (values: Float32Array): number =>
    decode(medianInPlace(new Float64Array(values.subarray(0, count)), count));
  return [of(pixels.red), of(pixels.green), of(pixels.blue)];
}
