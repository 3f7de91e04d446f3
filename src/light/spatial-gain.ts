import { mean } from '../numeric/mean.ts';
import type { Point } from '../model/region.ts';
import { channels, perChannel } from './channels.ts';
import type { Channel, PerChannel } from './channels.ts';
import type { CommonGain } from './common-gain.ts';
import { fillGaps } from './fill-gaps.ts';
import { robustSd } from '../numeric/robust-sd.ts';
import { noiseSd } from './noise-sd.ts';
import { smoothSeries } from './smooth-gain.ts';
import type { Reference } from './usable-references.ts';

/** How the light's change differs over the frame. */
export interface SpatialGain {
  /** Largest lasting difference of the change between two references, relative. */
  readonly unevenness: number;
  /** What a plane leaves of it, relative; `null` with fewer than four references, through which a plane always goes. */
  readonly left: number | null;
  /** Relative multipliers at a place by frame; `null` where evenness may be assumed. */
  at(place: Point | undefined): PerChannel<readonly number[]> | null;
}

/** Unevenness below which no plane is used: then it would add more noise than it takes. Chosen: the error floor of the patches themselves. */
const smallestUnevenness = 0.002;

/**
 * A plane through the references' residuals in every frame (smallest-slope least squares, so two references give a slope along their line only),
 * smoothed over time: for a lamp that was moved, a cloud's edge, or a phone that maps tones piece by piece.
 */
export function spatialGain(
  references: readonly Reference[],
  common: PerChannel<CommonGain>,
  centres: Readonly<Record<string, Point>>,
  frame: { readonly width: number; readonly height: number },
): SpatialGain {
  const places = references.map(({ region }) => {
    const centre = centres[region.id];
    return centre === undefined ? null : ([centre[0] / frame.width, centre[1] / frame.width] as const);
  });
  const smooth = perChannel((channel) =>
    common[channel].residuals.map((series) => fillGaps(smoothSeries(series, [])).values),
  );
  const unevenness = Math.max(
    0,
    ...channels.flatMap((channel) =>
      smooth[channel].map((series, index) => lastingRange(series, noiseSd(common[channel].residuals[index]!))),
    ),
  );
  if (references.length < 2 || places.some((place) => place === null) || unevenness < smallestUnevenness) {
    return { unevenness, left: references.length < 4 ? null : unevenness, at: () => null };
  }
  const known = places as readonly (readonly [number, number])[];
  const middle = [0, 1].map((axis) => known.reduce((sum, place) => sum + place[axis]!, 0) / known.length);
  const offsets = known.map((place) => [place[0] - middle[0]!, place[1] - middle[1]!] as const);
  // A little on the diagonal: references in one line leave the slope across it at 0.
  const ridge = 1e-3;
  const xx = ridge + offsets.reduce((sum, [x]) => sum + x * x, 0);
  const xy = offsets.reduce((sum, [x, y]) => sum + x * y, 0);
  const yy = ridge + offsets.reduce((sum, [, y]) => sum + y * y, 0);
  const determinant = xx * yy - xy * xy;
  const planes = perChannel((channel) =>
    smooth[channel][0]!.map((_, at) => {
      const residuals = smooth[channel].map((series) => series[at]!);
      const centre = mean(residuals);
      const sx = residuals.reduce((sum, value, index) => sum + (value - centre) * offsets[index]![0], 0);
      const sy = residuals.reduce((sum, value, index) => sum + (value - centre) * offsets[index]![1], 0);
      return { centre, slopeX: (yy * sx - xy * sy) / determinant, slopeY: (xx * sy - xy * sx) / determinant };
    }),
  );
  const onPlane = (channel: Channel, at: number, x: number, y: number): number => {
    const { centre, slopeX, slopeY } = planes[channel][at]!;
    return centre + slopeX * x + slopeY * y;
  };
  const left = Math.max(
    ...channels.flatMap((channel) =>
      smooth[channel].map((series, index) => {
        const [x, y] = offsets[index]!;
        return lastingRange(
          series.map((value, at) => value - onPlane(channel, at, x, y)),
          noiseSd(common[channel].residuals[index]!),
        );
      }),
    ),
  );
  return {
    unevenness,
    left: references.length < 4 ? null : left,
    at(place) {
      if (place === undefined) return null;
      // Not beyond the references by more than half their own spread: a plane must not be followed into the unknown.
      const reach = (axis: 0 | 1): number => {
        const all = offsets.map((offset) => offset[axis]);
        const half = (Math.max(...all) - Math.min(...all)) / 2;
        const value = place[axis] / frame.width - middle[axis]!;
        return Math.min(Math.max(...all) + half, Math.max(Math.min(...all) - half, value));
      };
      const [x, y] = [reach(0), reach(1)];
      return perChannel((channel) => planes[channel].map((_, at) => Math.exp(-onPlane(channel, at, x, y))));
    },
  };
}

/** Range of a smoothed course, 0 where its reference's own noise makes as much. */
function lastingRange(series: readonly number[], noise: number): number {
  const lasting = robustRange(series);
  return lasting > 3 * noise ? lasting : 0;
}

/** Distance of the 5 % and 95 % quantiles, or four robust standard deviations if less. */
function robustRange(values: readonly number[]): number {
  const sorted = [...values].sort((first, second) => first - second);
  const at = (share: number): number => sorted[Math.round(share * (sorted.length - 1))]!;
  return sorted.length === 0 ? 0 : Math.max(at(0.95) - at(0.05), Math.min(4 * (robustSd(values) ?? 0), at(1) - at(0)));
}
