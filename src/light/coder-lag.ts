import { encodeSrgb, tabulateTransfer } from '../colour/index.ts';
import type { RegionColours } from '../model/measurement.ts';
import { luminanceWeights } from './channels.ts';

/**
 * How far the coded red-difference chroma stays behind, codes of 8 bit: so much over the side of the region in frame pixels, at most half a code.
 * A coder predicts from the pictures beside and writes nothing until the rest passes its dead zone, so it errs towards where the
 * colour was, never ahead, whatever the encoder; most in blocks that a vial fills in part, of which a small vial has the larger share. Measured
 * against lossless films of the same frames, vials that had moved, mean lag in codes: 26 px H.264 of preset veryfast 0.8, slow 0.5, medium at
 * rate factor 26 0.9, HEVC 0.5, VP9 0.4 (8 or 10 racks each); 52 px H.264 of preset veryfast 0.25 (12 racks); Motion JPEG and JPEG 0.
 */
const lagTimesSide = 13;
const mostLag = 0.5;
/** Codes of chroma between its ends, 8 bit (ITU-R BT.709-6 item 4.6). */
const chromaCodes = 224;
/** Movement of the same chroma over which the lag builds up, encoded units: two codes of 255. Chosen: less would follow noise, which it turns up by a quarter as it is. */
const buildsUpOver = 2 / 255;
/** Of the difference of red from luma, the part that is one unit of chroma: 2 (1 - 0.2126), ITU-R BT.709-6 item 3.3. */
const redPerCr = 2 * (1 - luminanceWeights.red);

const decode = tabulateTransfer('srgb');

/**
 * A region as read from a film whose coder holds blocks, moved on by what its chroma lags. The lag builds up and turns with the
 * colour's own movement, so that a vial that never moved stays as it is; luma and blue stay too. Luma lags less than noise, and
 * the other chroma moves little while blue is cut off at black: moving them on gained nothing (88 racks). Patches lag like vials:
 * treated alike, a step of the white balance leaves no trace in their ratio.
 * `side`: of a square as large as the region, frame pixels. Frames with an unknown channel stay unknown and move nothing.
 */
export function withoutCoderLag(region: RegionColours, side: number): RegionColours {
  const lag = Math.min(mostLag, lagTimesSide / side) / chromaCodes;
  const red = [...region.red];
  const green = [...region.green];
  let built = 0;
  let before: number | null = null;
  region.red.forEach((light, frame) => {
    const others = [region.green[frame] ?? null, region.blue[frame] ?? null];
    if (light === null || others[0] === null || others[1] === null) return;
    const [r, g, b] = [encodeSrgb(light), encodeSrgb(others[0]!), encodeSrgb(others[1]!)];
    const luma = luminanceWeights.red * r + luminanceWeights.green * g + luminanceWeights.blue * b;
    const chroma = (r - luma) / redPerCr;
    built = Math.max(-1, Math.min(1, built + (chroma - (before ?? chroma)) / buildsUpOver));
    before = chroma;
    const ahead = redPerCr * lag * built;
    red[frame] = decode(r + ahead);
    green[frame] = decode(g - (luminanceWeights.red / luminanceWeights.green) * ahead);
  });
  return { ...region, red, green };
}
