import type { Column, RegionColours } from '../model/measurement.ts';
import type { RegionReading } from './region-reader.ts';

/** Names of the columns in the order in which a reading's numbers are kept. */
const names = [
  ...(['red', 'green', 'blue', 'redSe', 'greenSe', 'blueSe', 'redClipped', 'greenClipped', 'blueClipped'] as const),
  ...(['leftOut', 'samples', 'halvesDeltaE', 'texture', 'meniscusY'] as const),
];

/** Readings of one region frame by frame, packed: some 110 bytes a frame, where the readings themselves take 600. */
export interface ReadingColumns {
  readonly count: number;
  /** An unreadable frame is `null` in every column. */
  push(reading: RegionReading | null): void;
  /** Number in one column (by place) of one frame; NaN for unknown. */
  value(at: number, column: number): number;
}

export function createReadingColumns(): ReadingColumns {
  let values = new Float64Array(names.length * 64);
  let count = 0;
  return {
    get count() {
      return count;
    },
    push(reading) {
      const at = count * names.length;
      if (at + names.length > values.length) {
        const larger = new Float64Array(2 * values.length);
        larger.set(values);
        values = larger;
      }
      count += 1;
      if (reading === null) {
        values.fill(NaN, at, at + names.length);
        return;
      }
      values.set(reading.rgb, at);
      values.set(reading.se, at + 3);
      values.set(reading.clipped, at + 6);
      values[at + 9] = reading.leftOut;
      values[at + 10] = reading.samples;
      values[at + 11] = reading.halvesDeltaE;
      values[at + 12] = reading.texture;
      values[at + 13] = reading.meniscusY ?? NaN;
    },
    value: (at, column) => values[at * names.length + column]!,
  };
}

/** A region's stretches of frames, one after another, as columns. */
export function collectColumns(
  id: string,
  kind: RegionColours['kind'],
  stretches: readonly ReadingColumns[],
): RegionColours {
  const columns = names.map((name, place) => {
    const column: (number | null)[] = [];
    for (const stretch of stretches) {
      for (let at = 0; at < stretch.count; at += 1) {
        const value = stretch.value(at, place);
        column.push(Number.isNaN(value) ? null : value);
      }
    }
    return [name, column] as const;
  });
  return { id, kind, ...(Object.fromEntries(columns) as unknown as Record<(typeof names)[number], Column>) };
}
