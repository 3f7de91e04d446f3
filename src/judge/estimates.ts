import { normalQuantile } from '../numeric/normal.ts';
import type { Estimate } from '../model/estimate.ts';
import { mean } from '../numeric/mean.ts';
import type { Reading } from './types.ts';

/** Standard deviation of path draws about zero error: what a common error of the path does to a number. */
export function pathSe(shifts: readonly number[]): number {
  return shifts.length === 0 ? 0 : Math.sqrt(mean(shifts.map((shift) => shift * shift)));
}

/** A reading with all its errors (frames, vial, path, and what a film's coder left) in one standard error and a normal 95 % interval. */
export function readingEstimate(reading: Reading | null, coderSe: number): Estimate | null {
  if (reading === null) return null;
  const se = Math.hypot(reading.frameSe, reading.vialSe ?? 0, pathSe(reading.pathShift), coderSe);
  const half = normalQuantile(0.975) * se;
  return { value: reading.value, se, ci95: [reading.value - half, reading.value + half] };
}

/** Mean error of several readings under each plausible path. */
export function meanShift(readings: readonly Reading[]): readonly number[] {
  const draws = readings[0]?.pathShift.length ?? 0;
  return Array.from({ length: draws }, (_, k) => mean(readings.map((reading) => reading.pathShift[k]!)));
}
