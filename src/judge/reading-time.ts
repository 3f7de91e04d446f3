import type { Run } from '../model/run.ts';
import type { ExtentSeries } from '../model/extent.ts';
import { durationText } from './text.ts';

export interface ReadingTime {
  readonly readAtS: number;
  readonly declared: boolean;
  /** A sentence for the result when no time was declared; else `null`. */
  readonly assumption: string | null;
}

/**
 * The declared reading time, or the longest time since dosing that every vial of the run has been watched for.
 * 0 for a run without frames.
 */
export function readingTime(run: Run, series: readonly ExtentSeries[], untilS: number | null): ReadingTime {
  if (run.readAtS !== null) return { readAtS: run.readAtS, declared: true, assumption: null };
  const ends = series.map((one) => {
    const times = one.timeS.filter((_, i) => untilS === null || one.timeRunS[i]! <= untilS);
    return times.at(-1) ?? 0;
  });
  const readAtS = Math.max(0, Math.min(...(ends.length === 0 ? [0] : ends)));
  return {
    readAtS,
    declared: false,
    assumption: `No reading time was declared (read_at_s): samples are compared at the end of the run, ${durationText(readAtS)} after dosing. A time chosen after seeing the run is weaker evidence than one declared before it.`,
  };
}
