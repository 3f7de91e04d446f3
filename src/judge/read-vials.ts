import { interpolate } from '../numeric/interpolate.ts';
import type { ColourPath } from '../model/extent.ts';
import { effectOf, eventsOf } from './events.ts';
import { localEstimate } from './local-estimate.ts';
import type { JudgedVial, JudgeInput, NotRead, Reading, UsableSeries } from './types.ts';
import { typicalGap, usableSeries } from './usable.ts';
import type { Fit } from '../model/fit.ts';

/** A reading needs a frame within this many typical gaps, or this share of the reading time; chosen. */
const nearestGaps = 3;
const nearestShare = 0.02;

/** Reads every vial at `readAtS` seconds after its dosing and at its last frame; trouble and moves are looked for later, against the others. */
export function readVials(input: JudgeInput, readAtS: number): readonly JudgedVial[] {
  const gapS = typicalGap(input.measurement.frames.timeRunS);
  return input.run.vials.map((vial, index) => {
    const series = input.series[index]!;
    const fit = input.fits[index]!;
    const usable = usableSeries(series, input.run.events, input.untilS, gapS);
    const end = eventsOf(input.run.events, vial.region).find((event) => effectOf(event) === 'ends');
    const endedBy = end === undefined ? null : { atRunS: end.atRunS, what: end.what };
    const notRead = whyNotRead(usable, readAtS, gapS, endedBy === null ? null : endedBy.atRunS - series.addedRunS);
    const read = (timeS: number): Reading | null => reading(usable, fit, timeS, series.vialSe, input.path);
    const lastS = usable.timeS.at(-1);
    return {
      index,
      vial,
      series,
      fit,
      usable,
      endedBy,
      notRead,
      atRead: notRead === null ? read(readAtS) : null,
      last: lastS === undefined ? null : read(lastS),
      trouble: null,
      move: null,
    };
  });
}

/** Extent at one time with its errors kept apart; `null` without usable frames. */
export function reading(
  usable: UsableSeries,
  fit: Fit | null,
  timeS: number,
  vialSe: number | null,
  path: ColourPath,
): Reading | null {
  const local = localEstimate(usable, fit, timeS);
  if (local === null) return null;
  const pathShift = path.draws.map((draw) => interpolate(path.extent, draw, local.value));
  return { timeS, value: local.value, frameSe: local.se, vialSe, pathShift };
}

function whyNotRead(usable: UsableSeries, atS: number, gapS: number, endedS: number | null): NotRead | null {
  const lastS = usable.timeS.at(-1);
  if (lastS === undefined) return 'unreadable';
  // Times since dosing need not fall on a frame: one gap of slack at the end.
  if (lastS + gapS * 1.001 < atS) {
    return endedS !== null && endedS <= atS ? 'ended' : 'stopped-early';
  }
  const nearest = Math.min(...usable.timeS.map((time) => Math.abs(time - atS)));
  return nearest <= Math.max(nearestGaps * gapS, nearestShare * atS) ? null : 'gap';
}
