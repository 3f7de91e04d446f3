import { comparable, decode } from './encoded.ts';
import { modelSd } from './model-sd.ts';
import { nearestExtent, type EncodedPath } from './nearest-extent.ts';
import { pathExtents } from './path-physics.ts';
import type { EncodedVial, Triple } from './vial-colours.ts';

/** One vial's extents; arrays over the used frames. */
export interface ReadExtents {
  readonly extent: readonly (number | null)[];
  readonly extentSe: readonly (number | null)[];
  /** Linear RGB of the path's nearest point, for the distance off the path. */
  readonly onPath: readonly (Triple | null)[];
}

/** Standard deviation of a written channel that pixel scatter does not show: rounding to 8 bit in a film (1/255/sqrt(12)). */
const roundingSd = 1 / 255 / Math.sqrt(12);

/** Each frame's nearest point on the vial's own path, with the error that pixel noise leaves; `frames`: of the vial's arrays. */
export function readExtents({ frame: used, colour, se }: EncodedVial, frames: number, path: EncodedPath): ReadExtents {
  const extent = new Array<number | null>(frames).fill(null);
  const extentSe = new Array<number | null>(frames).fill(null);
  const onPath = new Array<Triple | null>(frames).fill(null);
  const noise = new Float64Array(3);
  const weightSd = new Float64Array(3);
  const point = new Float64Array(3);
  used.forEach((frame, which) => {
    const written = colour[which]!;
    for (let channel = 0; channel < 3; channel += 1) {
      // cut off just above black the slope of the curve is large but the noise small: rounding sets the floor
      noise[channel] = Math.hypot(roundingSd, se[which]![channel]!);
      // channels weigh by a mix of noise and the model's own misfit, so that no noiseless channel rules alone
      weightSd[channel] = Math.hypot(noise[channel]!, modelSd[channel]!);
    }
    const nearest = nearestExtent(path, written, weightSd, null);
    let tangentWeight = 0;
    let tangentNoise = 0;
    const step = pathExtents[nearest.index + 1]! - pathExtents[nearest.index]!;
    for (let channel = 0; channel < 3; channel += 1) {
      const low = comparable(path[nearest.index * 3 + channel]!, written[channel]!);
      const high = comparable(path[nearest.index * 3 + 3 + channel]!, written[channel]!);
      const slope = (high - low) / step;
      const weight = 1 / weightSd[channel]! ** 2;
      tangentWeight += weight * slope ** 2;
      tangentNoise += (weight * slope * noise[channel]!) ** 2;
      point[channel] = low + nearest.share * (high - low);
    }
    if (tangentWeight > 1e-9) {
      extent[frame] = nearest.extent;
      extentSe[frame] = Math.sqrt(tangentNoise) / tangentWeight;
    }
    onPath[frame] = [decode(point[0]!), decode(point[1]!), decode(point[2]!)];
  });
  return { extent, extentSe, onPath };
}
