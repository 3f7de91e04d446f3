import type { Column, RegionColours } from '../model/measurement.ts';
import { channels, perChannel, standardErrorOf } from './channels.ts';
import { median, noiseSd } from './robust.ts';

/** Most by which stated errors are raised. Chosen: beyond it the jitter is no measuring error but something in the vial. */
const most = 10;

/**
 * Raises a region's standard errors to what its corrected colours show from frame to frame, where pixel scatter told too little: rounding of a coded
 * picture is common to a whole vial (measured on JPEG of quality 90: two to three times the scatter's error). Never lowered. Robust, and from the
 * deviation of each frame from the mean of its neighbours, so that neither a quick reaction nor single bad frames raise it.
 */
export function raiseErrors(region: RegionColours): RegionColours {
  const factor = perChannel((channel) => {
    const stated = median(standardErrorOf(region, channel).filter((value) => value !== null));
    if (!(stated > 0)) return 1;
    return Math.min(most, Math.max(1, noiseSd(region[channel]) / stated));
  });
  const raised = (column: Column, by: number): Column => column.map((value) => (value === null ? null : value * by));
  if (channels.every((channel) => factor[channel] === 1)) return region;
  return {
    ...region,
    redSe: raised(region.redSe, factor.red),
    greenSe: raised(region.greenSe, factor.green),
    blueSe: raised(region.blueSe, factor.blue),
  };
}
