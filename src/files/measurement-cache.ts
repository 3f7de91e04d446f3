import { readFile } from 'node:fs/promises';
import path from 'node:path';
import type { Measurement } from '../model/measurement.ts';
import { measurementSchema } from './schemas/measurement.ts';
import { writeFileAtomically } from './write-file-atomically.ts';

/** Significant digits kept: 1e-6 relative, a hundredth of the best colour a camera region gives. */
const digits = 6;
/** Times are kept to the millisecond, whatever the run's length. */
const millisecond = 1000;

/**
 * The measurement as it will be read back: rounded, not-a-number as unknown. Judge this one also when it was just
 * measured, so that a run judged from the cache gives the same bytes.
 */
export function settleMeasurement(measurement: Measurement): Measurement {
  return JSON.parse(measurementText(measurement)) as Measurement;
}

/** Keeps a measurement in `<cacheDir>/<key>/measurement.json`; gives it back as it will be read. */
export async function writeCachedMeasurement(
  cacheDir: string,
  key: string,
  measurement: Measurement,
): Promise<Measurement> {
  const text = measurementText(measurement);
  await writeFileAtomically(fileOf(cacheDir, key), text);
  return JSON.parse(text) as Measurement;
}

/** The kept measurement, or `null` when there is none or its file is damaged (it is then measured anew). */
export async function readCachedMeasurement(cacheDir: string, key: string): Promise<Measurement | null> {
  try {
    const value: unknown = JSON.parse(await readFile(fileOf(cacheDir, key), 'utf8'));
    const parsed = measurementSchema.safeParse(value);
    return parsed.success && hasEvenColumns(parsed.data) ? parsed.data : null;
  } catch {
    return null;
  }
}

const fileOf = (cacheDir: string, key: string): string => path.join(cacheDir, key, 'measurement.json');

function measurementText(measurement: Measurement): string {
  return `${JSON.stringify(rounded(measurement, ''))}\n`;
}

/** A copy with every number rounded; `name` is the key that the value stands under. */
function rounded(value: unknown, name: string): unknown {
  if (typeof value === 'number') {
    if (Number.isInteger(value)) return value;
    return name === 'timeRunS' ? Math.round(value * millisecond) / millisecond : Number(value.toPrecision(digits));
  }
  if (Array.isArray(value)) return value.map((entry) => rounded(entry, name));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, entry]) => [key, rounded(entry, key)]));
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
