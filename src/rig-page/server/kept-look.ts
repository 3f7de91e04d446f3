import type { WholeLook } from '../frame-access.ts';
import type { CropRequest, RegionPixels } from '../../model/frame.ts';
import { cropOfShrunk, shrink, shrinkFactor } from './shrink.ts';

/** Pixels kept of a still that was looked at; chosen: a whole 4K frame, six then need 150 MB. */
const lookPixels = 8_300_000;

/** A picture that glare is told from, kept as small as it comes. */
export interface KeptLook {
  /** The samples of one crop, as the analysis is given them. */
  readonly cut: (crop: CropRequest) => RegionPixels;
}

/** A film's look keeps its raw planes; a still is kept as a picture, a very large one shrunk. */
export function keepLook(look: WholeLook): KeptLook {
  if (look.regions([]) !== null) return { cut: (crop) => look.regions([crop])![0]! };
  const image = look.image();
  const small = shrink(image, shrinkFactor(image, lookPixels));
  return { cut: (crop) => cropOfShrunk(small, crop) };
}
