import type { Region } from '../model/region.ts';
import type { Shift } from '../model/shift.ts';
import { cropMarginPixels } from './crop-margin.ts';
import { shrinkGrey, type GreyImage } from './grey-image.ts';
import { registerThumbnail } from './register-thumbnail.ts';

/** Width of the pictures that large moves are looked for in. Chosen, as the rig's thumbnail: moves of 15 % of the frame are still within reach. */
const smallWidth = 320;
/** Confidence from which the first picture counts as found again. Chosen, as for a rig's thumbnail. */
const recognised = 0.5;

/** The grey picture as {@link registerLook} wants it: to be kept while others are looked at. */
export function smallLook(grey: GreyImage): GreyImage {
  return shrinkGrey(grey, smallWidth).image;
}

/**
 * By how much a picture moved since an earlier one, both from {@link smallLook}: within about a pixel of the frame, and much further than frames
 * are followed. Pixels of the frame. `null`: not recognised.
 * @param avoid regions in pixels of the frame, whose content changes
 */
export function registerLook(
  first: GreyImage,
  look: GreyImage,
  avoid: readonly Region[],
  frameWidth: number,
): Shift | null {
  const factor = frameWidth / first.width;
  const usual = cropMarginPixels(first.width);
  // A wide margin leaves fewer places to hold on to: it is asked only where the usual one does not do.
  for (const margin of [usual, 2 * usual, 4 * usual]) {
    const found = registerThumbnail(first, look, avoid, { factor, margin });
    if (found === null || found.confidence < recognised) continue;
    return { dx: factor * found.dx, dy: factor * found.dy, rotation: found.rotation, scale: found.scale };
  }
  return null;
}
