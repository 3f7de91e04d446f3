import type { RegionPixels } from '../model/frame.ts';
import { medianOf } from './median.ts';
import { decodeTransfer, type TransferName } from './transfer.ts';

/** Linear colour of a plain piece of picture: the median of each channel, decoded. `null` for a crop without samples. */
export function plainColour(pixels: RegionPixels, transfer: TransferName): readonly [number, number, number] | null {
  if (pixels.width * pixels.height === 0) return null;
  const decode = decodeTransfer(transfer);
  const of = (values: Float32Array): number => decode(medianOf(values.subarray(0, pixels.width * pixels.height)));
  return [of(pixels.red), of(pixels.green), of(pixels.blue)];
}
