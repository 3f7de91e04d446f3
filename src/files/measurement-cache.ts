import { readFile } from 'node:fs/promises';
import path from 'node:path';
import type { Measurement } from '../model/measurement.ts';
import { packColumns, unpackColumns } from './packed-columns.ts';
import { roundColumn } from './round-column.ts';
import { measurementSchema } from './schemas/measurement.ts';
import { writeFileAtomically } from './write-file-atomically.ts';

/**
 * The measurement as it will be read back: rounded, not-a-number as unknown. Judge this one also when it was just
 * measured, so that a run judged from the cache gives the same bytes.
 */
export function settleMeasurement(measurement: Measurement): Measurement {
  return unpack(pack(measurement))!;
}

/** Keeps a measurement in `<cacheDir>/<key>/measurement.bin`; gives it back as it will be read. */
export async function writeCachedMeasurement(
  cacheDir: string,
  key: string,
  measurement: Measurement,
): Promise<Measurement> {
  const bytes = pack(measurement);
  await writeFileAtomically(fileOf(cacheDir, key), bytes);
  return unpack(bytes)!;
}

/** The kept measurement, or `null` when there is none or its file is damaged (it is then measured anew). */
export async function readCachedMeasurement(cacheDir: string, key: string): Promise<Measurement | null> {
  const bytes = await readFile(fileOf(cacheDir, key)).catch(() => null);
  return bytes === null ? null : unpack(bytes);
}

/** Where a measurement is kept, and what was worked out from it. */
export const measurementFolder = (cacheDir: string, key: string): string => path.join(cacheDir, key);

const fileOf = (cacheDir: string, key: string): string =>
  path.join(measurementFolder(cacheDir, key), 'measurement.bin');

const pack = (measurement: Measurement): Buffer => packColumns(measurement, roundColumn);

/** Columns are numbers or `null` by how they are kept, and their hash says that they are as written; the rest is checked. */
function unpack(bytes: Buffer): Measurement | null {
  const unpacked = unpackColumns(bytes);
  if (unpacked === null || !measurementSchema.safeParse(unpacked.withoutColumns).success) return null;
  const measurement = unpacked.value as Measurement;
  return hasEvenColumns(measurement) ? measurement : null;
}

function hasEvenColumns(measurement: Measurement): boolean {
  const count = measurement.frames.index.length;
  const records: readonly object[] = [
    measurement.frames,
    measurement.motion,
    measurement.light,
    ...measurement.vials,
    ...measurement.patches,
  ];
  return records.every((record) =>
    Object.values(record).every((value) => !Array.isArray(value) || value.length === count),
  );
}
