import { fiellerInterval } from './fieller.ts';
import type { FiellerInterval } from './fieller.ts';
import { straightLine } from './straight-line.ts';
import type { StraightLine } from './straight-line.ts';
import { studentTQuantile } from './student-t.ts';

export interface InversePrediction {
  readonly line: StraightLine;
  /** The x at which the line has the observed y. */
  readonly value: number;
  /** s_x0, the usual first-order standard error (Miller & Miller, Statistics for Analytical Chemistry). */
  readonly standardError: number;
  /** value -+ t s_x0: good while the slope is well known. */
  readonly approximate: readonly [number, number];
  /** The exact set of x, after Fieller; unbounded when the slope does not differ from zero. */
  readonly exact: FiellerInterval;
}

/**
 * Inverse regression: which x gave the mean `y0` of `replicates` new observations, by the calibration line of x and y.
 * `null` when there is no line, fewer than three points, or a slope of zero. Throws RangeError on unequal lengths.
 */
export function inversePrediction(input: {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly y0: number;
  readonly replicates?: number;
  readonly level?: number;
}): InversePrediction | null {
  const { x, y, y0, replicates = 1, level = 0.95 } = input;
  const line = straightLine(x, y);
  if (line === null || line.residualSd === null || line.slope === 0 || !Number.isFinite(y0)) return null;
  const t = studentTQuantile(0.5 + level / 2, line.df);
  const variance = line.residualSd ** 2;
  const offset = y0 - line.meanY;
  const value = line.meanX + offset / line.slope;
  const spread = 1 / replicates + 1 / line.count + offset ** 2 / (line.slope ** 2 * line.sxx);
  const standardError = (line.residualSd / Math.abs(line.slope)) * Math.sqrt(spread);
  const about = fiellerInterval({
    numerator: offset,
    denominator: line.slope,
    numeratorVariance: variance * (1 / replicates + 1 / line.count),
    denominatorVariance: variance / line.sxx,
    covariance: 0,
    criticalValue: t,
  });
  return {
    line,
    value,
    standardError,
    approximate: [value - t * standardError, value + t * standardError],
    exact: shifted(about, line.meanX),
  };
}

function shifted(set: FiellerInterval, by: number): FiellerInterval {
  const move = (value: number | null): number | null => (value === null ? null : value + by);
  if (set.kind === 'bounded') return { ...set, ratio: set.ratio + by, lower: set.lower + by, upper: set.upper + by };
  if (set.kind === 'whole-line') return { ...set, ratio: move(set.ratio) };
  return { ...set, ratio: move(set.ratio), below: move(set.below), above: move(set.above) };
}
