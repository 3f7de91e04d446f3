import type { Region } from '../model/region.ts';
import type { Shift } from '../model/shift.ts';
import { likenessAt, mostAlike } from '../numeric/picture-likeness.ts';
import { shrinkBy, shrinkGrey, type GreyImage } from './grey-image.ts';
import { registerThumbnail } from './register-thumbnail.ts';

/** Width of the pictures that large moves are looked for in. Chosen, as the rig's thumbnail. */
const smallWidth = 320;
/** Confidence from which the first picture counts as found again. Chosen, as for a rig's thumbnail. */
const recognised = 0.5;

/**
 * Likeness of the whole picture from which what the still places say is believed at once. A rack repeats itself: a move by most of a column
 * can look like a small one to the other side. Measured on six modelled racks: true moves 0.84 to 0.94, moves mistaken by a column 0.39 to 0.71.
 */
const surely = 0.8;
/** Below this the best place is none. Chosen: another scene has under 0.2. */
const alike = 0.4;
/** Largest move looked for, share of the picture's width. Chosen: beyond it the vials have left the picture. */
const farthest = 0.2;

/** The grey picture as {@link registerLook} wants it: to be kept while others are looked at. `like`: one of the same size is wanted. */
export function smallLook(grey: GreyImage, like: GreyImage | null = null): GreyImage {
  return like === null ? shrinkGrey(grey, smallWidth).image : shrinkBy(grey, Math.floor(grey.width / like.width));
}

/**
 * By how much a picture moved since an earlier one, both from {@link smallLook}: small moves within a pixel of the frame, large ones (up to a fifth of its width) within
 * a pixel of the small picture. Pixels of the frame. `null`: not recognised.
 * @param avoid regions in pixels of the frame, whose content changes
 */
export function registerLook(
  first: GreyImage,
  look: GreyImage,
  avoid: readonly Region[],
  frameWidth: number,
): Shift | null {
  const factor = frameWidth / first.width;
  const found = registerThumbnail(first, look, avoid, { factor });
  if (found !== null && found.confidence >= recognised && likenessAt(first, look, found.dx, found.dy) > surely) {
    return { dx: factor * found.dx, dy: factor * found.dy, rotation: found.rotation, scale: found.scale };
  }
  const reach = Math.round(farthest * first.width);
  const place = mostAlike(first, look, reach);
  if (place.likeness < alike) return null;
  return { dx: factor * place.dx, dy: factor * place.dy, rotation: 0, scale: 1 };
}
