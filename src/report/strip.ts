import type { ExtentSeries } from '../model/extent.ts';
import type { RegionColours } from '../model/measurement.ts';
import { hexOfLinear, linearAt } from './seen-colour.ts';

/** A vial over time in equal steps from dosing to the end of the axis; `null` where nothing readable was seen. */
export interface Strip {
  readonly colour: readonly (string | null)[];
  readonly extent: readonly (number | null)[];
}

/** Steps of a strip (chosen: finer than a pixel of any vial drawn, and 24 vials stay small). */
export const stripSteps = 160;

/** Means of linear light and of extent over each step; a step between two frames shows the frame before it. */
export function stripOf(series: ExtentSeries, colours: RegionColours | undefined, toS: number): Strip {
  const sums = Array.from({ length: stripSteps }, () => ({ rgb: [0, 0, 0], count: 0, extent: 0, known: 0 }));
  series.timeS.forEach((at, frame) => {
    const step = sums[Math.min(stripSteps - 1, Math.floor((at / toS) * stripSteps))];
    const linear = colours === undefined ? null : linearAt(colours, frame);
    if (step === undefined || at < 0 || linear === null) return;
    step.count += 1;
    linear.forEach((value, channel) => (step.rgb[channel]! += value));
    const extent = series.extent[frame] ?? null;
    if (extent !== null) {
      step.extent += extent;
      step.known += 1;
    }
  });
  const colour = sums.map(({ rgb, count }) =>
    count === 0 ? null : hexOfLinear([rgb[0]! / count, rgb[1]! / count, rgb[2]! / count]),
  );
  const extent = sums.map((step) => (step.known === 0 ? null : step.extent / step.known));
  const gap = stripSteps / Math.max(1, series.timeS.length);
  return { colour: carried(colour, gap), extent: carried(extent, gap) };
}

/** Fills steps that no frame fell into because frames are far apart; longer gaps stay open. */
function carried<T>(values: readonly (T | null)[], gap: number): readonly (T | null)[] {
  const most = Math.ceil(gap * 1.5);
  let last: T | null = null;
  let age = Infinity;
  return values.map((value) => {
    if (value !== null) {
      last = value;
      age = 0;
    } else age += 1;
    return value ?? (age <= most ? last : null);
  });
}
