import type { ExtentSeries } from '../model/extent.ts';
import type { RunEvent } from '../model/run.ts';
import { keptByEvents } from './events.ts';
import { median } from '../numeric/median.ts';
import type { UsableSeries } from './types.ts';

/** Median gap between neighbouring times, seconds; 0 with fewer than two. */
export function typicalGap(timeS: readonly number[]): number {
  return median(timeS.slice(1).map((time, i) => time - timeS[i]!)) ?? 0;
}

/** The values of a series that may be read: known, after dosing, up to `untilS`, kept by the events. */
export function usableSeries(
  series: ExtentSeries,
  events: readonly RunEvent[],
  untilS: number | null,
  typicalGapS: number,
): UsableSeries {
  const kept = keptByEvents(events, series.region, typicalGapS);
  const frame = series.timeS.flatMap((timeS, i) => {
    const runS = series.timeRunS[i]!;
    const known = series.extent[i] !== null && series.extent[i] !== undefined;
    return known && timeS >= 0 && (untilS === null || runS <= untilS) && kept(runS) ? [i] : [];
  });
  return {
    frame,
    timeS: frame.map((i) => series.timeS[i]!),
    extent: frame.map((i) => series.extent[i]!),
    se: frame.map((i) => series.extentSe[i] ?? 0),
  };
}
