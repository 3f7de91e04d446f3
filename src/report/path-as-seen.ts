import { bisectCenter } from 'd3-array';
import type { ColourPath, ExtentSeries } from '../model/extent.ts';
import type { RegionColours } from '../model/measurement.ts';
import { linearAt, oklabOfLinear } from './seen-colour.ts';

/**
 * The run's colour path as one vial would show it, OKLab a and b: at the vial's own brightness (its glass and place, least
 * squares over its frames) and without light below black, which no camera writes. Empty where the run has no path.
 */
export function pathAsSeen(
  path: ColourPath,
  series: ExtentSeries,
  colours: RegionColours | undefined,
): readonly (readonly [a: number, b: number])[] {
  let seenByPath = 0;
  let pathSquared = 0;
  series.extent.forEach((extent, frame) => {
    const seen = colours === undefined ? null : linearAt(colours, frame);
    const expected = extent === null ? undefined : path.linearRgb[bisectCenter(path.extent, extent)];
    if (seen === null || expected === undefined) return;
    expected.forEach((value, channel) => {
      if (value <= 0) return;
      seenByPath += value * seen[channel]!;
      pathSquared += value ** 2;
    });
  });
  const brightness = pathSquared > 0 ? seenByPath / pathSquared : 1;
  return path.linearRgb.map(([red, green, blue]) =>
    oklabOfLinear([lit(red, brightness), lit(green, brightness), lit(blue, brightness)]),
  );
}

const lit = (linear: number, brightness: number): number => Math.max(0, linear * brightness);
