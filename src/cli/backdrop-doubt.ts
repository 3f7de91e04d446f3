import { backdropPlaces } from '../backdrop-places.ts';
import { cropOfImage, plainColour, regionCrop } from '../colour/index.ts';
import { fewestPieces, fitBackdrop } from '../light/index.ts';
import type { RgbImage } from '../model/frame.ts';
import { placeInFrame } from '../model/place-in-frame.ts';
import type { Rig } from '../model/region.ts';

/**
 * Says of a rack with room between its vials that no even backdrop is seen there; `null`: one is seen, or the rack has too few
 * gaps to show any. `rig` as it lies in the picture.
 */
export function backdropDoubt(rig: Rig, picture: RgbImage): string | null {
  const places = backdropPlaces(rig);
  if (places.length < fewestPieces) return null;
  const pieces = places.map((region) => ({
    place: placeInFrame(region, rig.frame),
    rgb: [plainColour(cropOfImage(picture, regionCrop(region, 'white', rig.frame, 0)), 'srgb')],
  }));
  if (fitBackdrop(pieces) !== null) return null;
  return 'no even, light backdrop is seen between the vials: how light falls off towards the corners must then be told from the vials themselves, with a larger error. A plain matt card behind the rack, wider than it, mends that';
}
