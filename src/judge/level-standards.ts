import type { ResultLevel } from '../model/result.ts';
import { calibrate, detection, inverse, usedUpExtent } from './calibration.ts';
import { singleCritical } from './critical-values.ts';
import type { JudgedSample } from './judge-samples.ts';
import { mean } from '../numeric/mean.ts';
import type { Situation } from './situation.ts';
import { halfWidth } from './variance-parts.ts';

/**
 * The level of a sample by the calibration line; `null` without one. Seen is what stands above the critical level of the line and,
 * against the negatives themselves, above theirs: a bent line may pass below the base.
 */
export function levelByStandards(situation: Situation, sample: JudgedSample): ResultLevel | null {
  const calibration = calibrate(situation);
  if (calibration === null) return null;
  const { alpha } = situation.input.run;
  const readings = sample.members.map(({ atRead }) => atRead!);
  const found = inverse(calibration, readings);
  const byLine = detection(calibration, readings, alpha);
  const difference = sample.difference!;
  const byNegatives =
    halfWidth([...difference.vialParts, { variance: difference.lightSe ** 2, df: Infinity }], (df) =>
      singleCritical(alpha, df),
    ) / calibration.line.slope;
  const common = {
    limit: Math.max(byLine.limit, 2 * byNegatives),
    as: 'mol %, as the spiked standards (apparent)',
    electrons: null,
    basis: 'standards',
  } as const;
  if (found.value <= byLine.critical || difference.value <= byNegatives * calibration.line.slope) {
    return { ...common, value: null, ci95: [null, null], only_more_than: false };
  }
  const highest = Math.max(...calibration.levels);
  if (found.value > highest || mean(readings.map(({ value }) => value)) >= usedUpExtent) {
    return { ...common, value: highest, ci95: [highest, null], only_more_than: true };
  }
  const [low, high] = found.ci95;
  return {
    ...common,
    value: found.value,
    ci95: low === null ? [null, null] : [Math.max(low, 0), high],
    only_more_than: false,
  };
}
