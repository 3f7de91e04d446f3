import type { Column, RegionColours } from '../model/measurement.ts';
import type { PerChannel } from './channels.ts';

/** A region's colours and standard errors times the gains, frame by frame; `local`: further relative gains at its place. */
export function applyGains(
  region: RegionColours,
  multiplier: PerChannel<readonly number[]>,
  local: PerChannel<readonly number[]> | null,
): RegionColours {
  const times = (column: Column, channel: 'red' | 'green' | 'blue'): Column =>
    column.map((value, frame) =>
      value === null ? null : value * multiplier[channel][frame]! * (local === null ? 1 : local[channel][frame]!),
    );
  return {
    ...region,
    red: times(region.red, 'red'),
    green: times(region.green, 'green'),
    blue: times(region.blue, 'blue'),
    redSe: times(region.redSe, 'red'),
    greenSe: times(region.greenSe, 'green'),
    blueSe: times(region.blueSe, 'blue'),
  };
}
