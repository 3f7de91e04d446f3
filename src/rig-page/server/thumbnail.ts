import type { RgbImage } from '../../model/frame.ts';
import { encodePng } from '../../frames/index.ts';
import { shrink, shrinkFactor } from './shrink.ts';

/** Pixels of the thumbnail; chosen: motion is then known to a fraction of a pixel of the frame, the file stays small. */
const pixels = 320 * 180;

/** A small grey picture of the frame that the regions were placed on, as a data URL. */
export async function thumbnailOf(image: RgbImage): Promise<string> {
  const small = shrink(image, shrinkFactor(image, pixels));
  const data = new Uint8Array(small.data.length);
  for (let at = 0; at < data.length; at += 3) {
    // Luma of ITU-R BT.709.
    const grey = 0.2126 * small.data[at]! + 0.7152 * small.data[at + 1]! + 0.0722 * small.data[at + 2]!;
    data.fill(Math.round(grey), at, at + 3);
  }
  const png = await encodePng({ width: small.width, height: small.height, data });
  return `data:image/png;base64,${Buffer.from(png).toString('base64')}`;
}
