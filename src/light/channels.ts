import type { Column, RegionColours } from '../model/measurement.ts';

export const channels = ['red', 'green', 'blue'] as const;
export type Channel = (typeof channels)[number];
export type PerChannel<T> = Readonly<Record<Channel, T>>;

export function perChannel<T>(of: (channel: Channel) => T): PerChannel<T> {
  return { red: of('red'), green: of('green'), blue: of('blue') };
}

export const standardErrorOf = (region: RegionColours, channel: Channel): Column => region[`${channel}Se`];
export const clippedOf = (region: RegionColours, channel: Channel): Column => region[`${channel}Clipped`];

/** Relative luminance weights of linear sRGB (IEC 61966-2-1). */
export const luminanceWeights: PerChannel<number> = { red: 0.2126, green: 0.7152, blue: 0.0722 };
