import { comparable, decode, encode, encodeSlope } from './encoded.ts';
import { modelSd } from './model-sd.ts';
import { nearestExtent, type EncodedPath } from './nearest-extent.ts';
import { pathExtents } from './path-physics.ts';
import type { Triple, VialColours } from './vial-colours.ts';

/** One vial's extents; arrays over the used frames. */
export interface ReadExtents {
  readonly extent: readonly (number | null)[];
  readonly extentSe: readonly (number | null)[];
  /** Linear RGB of the path's nearest point, for the distance off the path. */
  readonly onPath: readonly (Triple | null)[];
}

/** Standard deviation of a written channel that pixel scatter does not show: rounding to 8 bit in a film (1/255/sqrt(12)). */
const roundingSd = 1 / 255 / Math.sqrt(12);

/** Each frame's nearest point on the vial's own path, with the error that pixel noise leaves. */
export function readExtents(vial: VialColours, path: EncodedPath): ReadExtents {
  const extent: (number | null)[] = [];
  const extentSe: (number | null)[] = [];
  const onPath: (Triple | null)[] = [];
  vial.rgb.forEach((rgb, frame) => {
    if (rgb === null || vial.timeS[frame]! < 0) {
      extent.push(null);
      extentSe.push(null);
      onPath.push(null);
      return;
    }
    const written: Triple = [Math.max(0, encode(rgb[0])), Math.max(0, encode(rgb[1])), Math.max(0, encode(rgb[2]))];
    const se = vial.se[frame] ?? [0, 0, 0];
    // cut off just above black the slope of the curve is large but the noise small: rounding sets the floor
    const noise = se.map((value, channel) =>
      Math.hypot(roundingSd, value * encodeSlope(Math.max(rgb[channel]!, 0.002))),
    );
    // channels weigh by a mix of noise and the model's own misfit, so that no noiseless channel rules alone
    const weightSd = noise.map((value, channel) => Math.hypot(value, modelSd[channel]!));
    const nearest = nearestExtent(path, written, weightSd, null);
    let tangentWeight = 0;
    let tangentNoise = 0;
    const step = pathExtents[nearest.index + 1]! - pathExtents[nearest.index]!;
    const point: number[] = [];
    for (let channel = 0; channel < 3; channel += 1) {
      const low = comparable(path[nearest.index * 3 + channel]!, written[channel]!);
      const high = comparable(path[nearest.index * 3 + 3 + channel]!, written[channel]!);
      const slope = (high - low) / step;
      const weight = 1 / weightSd[channel]! ** 2;
      tangentWeight += weight * slope ** 2;
      tangentNoise += (weight * slope * noise[channel]!) ** 2;
      point.push(low + nearest.share * (high - low));
    }
    const readable = tangentWeight > 1e-9;
    extent.push(readable ? nearest.extent : null);
    extentSe.push(readable ? Math.sqrt(tangentNoise) / tangentWeight : null);
    onPath.push([decode(point[0]!), decode(point[1]!), decode(point[2]!)]);
  });
  return { extent, extentSe, onPath };
}
