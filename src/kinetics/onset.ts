import type { TimeEstimate } from '../model/estimate.ts';
import type { Fit } from '../model/fit.ts';
import { normalQuantile } from '../numeric/normal.ts';
import type { IntervalBasis } from './constants.ts';
import type { PreparedSeries } from './prepare-series.ts';

/** Lengths of the trailing means looked at, in points: short ones see quick changes, long ones faint ones. */
const windows = [1, 2, 4, 8, 16] as const;

/**
 * First detection: the earliest time at which a trailing mean stands above the start level by more than chance allows
 * at the false-alarm rate, shared over all looks (Bonferroni). Start level and errors are those of the chosen model.
 * Already above in the first frame: censored `left`; never: `right`.
 */
export function onset(
  basis: IntervalBasis,
  series: PreparedSeries,
  falseAlarm: number,
  curve: NonNullable<Fit['curve']>,
): TimeEstimate {
  const { target, fit } = basis.candidate;
  const { tau, whiteShare } = target.filter.shape;
  const { time, extent, frames, relativeSe } = series;
  const limit = -normalQuantile(falseAlarm / (windows.length * time.length));
  const startVariance = basis.covariance[0]!;
  for (let end = 0; end < time.length; end += 1) {
    for (const length of windows) {
      const from = end - length + 1;
      if (from < 0) break;
      let sum = 0;
      let seen = 0;
      let squares = 0;
      for (let i = from; i <= end; i += 1) {
        sum += extent[i]! * frames[i]!;
        seen += frames[i]!;
        squares += relativeSe[i]! ** 2 * frames[i]!;
      }
      const covered = time[end]! - time[from]! + series.gap;
      const common = tau === 0 ? 0 : (1 - whiteShare) * averagedVariance(covered / tau);
      const variance = target.variance * (squares / seen) * (common + whiteShare / seen) + startVariance;
      if (sum / seen - fit.b[0]! > limit * Math.sqrt(variance)) {
        const at = time[end]! * series.spanS;
        if (end === 0) return { value: at, se: null, ci95: [null, at], censored: 'left' };
        return { value: at, se: null, ci95: bracket(curve, at), censored: 'none' };
      }
    }
  }
  return { value: series.spanS, se: null, ci95: [series.spanS, null], censored: 'right' };
}

/** When the band's upper and lower edges reach the level that the curve has at the detection. */
function bracket(curve: NonNullable<Fit['curve']>, at: number): readonly [number | null, number | null] {
  const after = curve.timeS.findIndex((time) => time >= at);
  const level = curve.extent[after] ?? null;
  if (level === null) return [null, null];
  const early = curve.upper.findIndex((value) => value >= level);
  const late = curve.lower.findIndex((value) => value >= level);
  return [early < 0 ? null : Math.min(curve.timeS[early]!, at), late < 0 ? null : Math.max(curve.timeS[late]!, at)];
}

function averagedVariance(length: number): number {
  return length < 1e-3 ? 1 : (2 / length) * (1 - (1 - Math.exp(-length)) / length);
}
