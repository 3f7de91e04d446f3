import type { TimeEstimate } from '../model/estimate.ts';
import type { Fit } from '../model/fit.ts';
import { effectiveSampleSize } from '../numeric/effective-sample-size.ts';
import { normalQuantile } from '../numeric/normal.ts';
import type { IntervalBasis } from './constants.ts';
import type { KineticOptions } from './kinetic-series.ts';
import type { NoiseShape } from './noise-filter.ts';
import type { PreparedSeries } from './prepare-series.ts';

/** Lengths of the trailing means looked at, in points: short ones see quick changes, long ones faint ones. */
const windows = [1, 2, 4, 8, 16] as const;

/**
 * Independent looks a frame of white noise counts for, all windows together; with neighbours alike by r it falls as
 * sqrt(1 - r) or faster. Simulated (scripts/kinetics/onset-looks.ts 6000; 30 to 400 frames; upper points 5 to 0.4 %):
 * 2.5 to 4.6 at r 0, 1.3 to 3.0 at 0.5 (formula 2.5), 0.5 to 0.9 at 0.9 (1.1), 0.2 to 0.3 at 0.97 (0.6).
 */
const looksPerFrame = 3.6;

/** The frame of a detection and the one before it, seconds since dosing. */
export interface Detection {
  readonly atS: number;
  readonly unseenS: number;
}

/**
 * First detection: the earliest time at which a trailing mean stands above the start level by more than chance allows
 * at the false-alarm rate, shared over the effective number of looks. Start level and errors are those of the chosen model.
 * Already above in the first frame after dosing: censored `left` at that frame, for the change came between dosing and it;
 * never: `right`. The interval always holds the gap to the frame before the detection: what happens between two frames is
 * not seen (interval censoring). Of a change that was `detected` the interval is {@link detectionInterval}'s.
 */
export function onset(
  basis: IntervalBasis,
  series: PreparedSeries,
  { falseAlarm, lightSe = 0 }: Pick<KineticOptions, 'falseAlarm' | 'lightSe'>,
): { readonly time: TimeEstimate; readonly detected: Detection | null } {
  const { target, fit } = basis.candidate;
  const { tau, whiteShare } = target.filter.shape;
  const { time, extent, frames, relativeSe } = series;
  const limit = -normalQuantile(falseAlarm / effectiveLooks(time, target.filter.shape));
  // slow errors of light are those of two times, now and at the start
  const startVariance = basis.covariance[0]! + 2 * lightSe ** 2;
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
      const alike = tau === 0 ? 0 : Math.exp(-covered / seen / tau);
      const common = tau === 0 ? 0 : (1 - whiteShare) / effectiveSampleSize(seen, alike);
      const variance = target.variance * (squares / seen) * (common + whiteShare / seen) + startVariance;
      if (sum / seen - fit.b[0]! > limit * Math.sqrt(variance)) {
        const at = time[end]! * series.spanS;
        // A frame at the very moment of dosing shows no reaction: what stands there was there by the next frame at the latest.
        if (end === 0 || time[end - 1] === 0) {
          const first = at > 0 ? at : (time[1] ?? 1) * series.spanS;
          return { time: { value: first, se: null, ci95: [null, first], censored: 'left' }, detected: null };
        }
        const detected = { atS: at, unseenS: time[end - 1]! * series.spanS };
        return { time: { value: at, se: null, ci95: [null, null], censored: 'none' }, detected };
      }
    }
  }
  const { spanS } = series;
  return { time: { value: spanS, se: null, ci95: [spanS, null], censored: 'right' }, detected: null };
}

/**
 * When the band's upper and lower edges reach the level that the curve has at the detection; from the last frame without
 * detection at the latest.
 */
export function detectionInterval(
  curve: NonNullable<Fit['curve']>,
  { atS: at, unseenS }: Detection,
): readonly [number | null, number | null] {
  const after = curve.timeS.findIndex((time) => time >= at);
  const level = curve.extent[after] ?? null;
  if (level === null) return [unseenS, null];
  const early = curve.upper.findIndex((value) => value >= level);
  const late = curve.lower.findIndex((value) => value >= level);
  return [
    early < 0 ? unseenS : Math.min(curve.timeS[early]!, unseenS),
    late < 0 ? null : Math.max(curve.timeS[late]!, at),
  ];
}

function effectiveLooks(time: Float64Array, { tau, whiteShare }: NoiseShape): number {
  let looks = 1;
  for (let i = 1; i < time.length; i += 1) {
    const alike = tau === 0 ? 0 : (1 - whiteShare) * Math.exp((time[i - 1]! - time[i]!) / tau);
    looks += Math.sqrt(1 - alike);
  }
  return looksPerFrame * looks;
}
