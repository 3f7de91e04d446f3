import type { RegionColours } from '../model/measurement.ts';
import type { RegionReading } from './region-reader.ts';

/** Turns a region's readings over the used frames into columns; an unreadable frame is `null` in every column. */
export function collectColumns(
  id: string,
  kind: RegionColours['kind'],
  readings: readonly (RegionReading | null)[],
): RegionColours {
  const column = (of: (reading: RegionReading) => number | null): (number | null)[] =>
    readings.map((reading) => (reading === null ? null : of(reading)));
  return {
    id,
    kind,
    red: column((reading) => reading.rgb[0]),
    green: column((reading) => reading.rgb[1]),
    blue: column((reading) => reading.rgb[2]),
    redSe: column((reading) => reading.se[0]),
    greenSe: column((reading) => reading.se[1]),
    blueSe: column((reading) => reading.se[2]),
    redClipped: column((reading) => reading.clipped[0]),
    greenClipped: column((reading) => reading.clipped[1]),
    blueClipped: column((reading) => reading.clipped[2]),
    leftOut: column((reading) => reading.leftOut),
    samples: column((reading) => reading.samples),
    halvesDeltaE: column((reading) => reading.halvesDeltaE),
    texture: column((reading) => reading.texture),
    meniscusY: column((reading) => reading.meniscusY),
  };
}
