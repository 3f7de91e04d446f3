import { expect, it } from 'vitest';
import type { ExtentSeries } from '../../src/model/extent.ts';
import type { RegionColours } from '../../src/model/measurement.ts';
import { pathAsSeen } from '../../src/report/path-as-seen.ts';
import { oklabOfLinear } from '../../src/report/seen-colour.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

type Rgb = readonly [number, number, number];

/** A path whose blue lies below black at the beginning, on an uneven grid, and a vial a tenth brighter than it. */
const extent = [0, 0.1, 0.2, 0.5, 0.9, 1];
const linearRgb = extent.map((at): Rgb => [0.65 - 0.5 * at, 0.28 - 0.08 * at, 0.2 * at - 0.03]);
const seen = linearRgb.map(([red, green, blue]): Rgb => [1.1 * red, 1.1 * green, Math.max(0, 1.1 * blue)]);

it('goes through the colours of a vial of another brightness whose camera wrote no light below black', async () => {
  const { path, series, measurement } = await exampleAnalysis({ frames: 9 });
  const vial: ExtentSeries = { ...series[0]!, extent };
  const colours: RegionColours = {
    ...measurement.vials[0]!,
    red: seen.map(([red]) => red),
    green: seen.map(([, green]) => green),
    blue: seen.map(([, , blue]) => blue),
  };
  const drawn = pathAsSeen({ ...path, extent, linearRgb }, vial, colours);
  drawn.forEach(([a, b], index) => {
    const [seenA, seenB] = oklabOfLinear(seen[index]!);
    expect(Math.hypot(a - seenA, b - seenB)).toBeLessThan(1e-6);
  });
  expect(pathAsSeen({ ...path, extent: [], linearRgb: [] }, vial, colours)).toEqual([]);
  expect(pathAsSeen(path, { ...vial, extent: extent.map(() => null) }, undefined)).toHaveLength(path.extent.length);
});
