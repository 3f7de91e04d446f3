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
  /** Standard error, extent, of what stood above the start level there. */
  readonly se: number;
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
        const detected = { atS: at, unseenS: time[end - 1]! * series.spanS, se: Math.sqrt(variance) };
        return { time: { value: at, se: null, ci95: [null, null], censored: 'none' }, detected };
      }
    }
  }
  const { spanS } = series;
  return { time: { value: spanS, se: null, ci95: [spanS, null], censored: 'right' }, detected: null };
}

/**
 * Where the detection would have fallen with other errors of the same size: when the curve stands two standard errors (95 %) below and
 * above what it shows at the detection; from the last frame without detection at the latest, to the detection at the earliest.
 * No upper end (`null`) where the curve never rises so far.
 */
export function detectionInterval(
  { timeS, extent }: NonNullable<Fit['curve']>,
  { atS, unseenS, se }: Detection,
): readonly [number, number | null] {
  const after = timeS.findIndex((time) => time >= atS);
  if (after < 0) return [unseenS, null];
  const level = reached(timeS, extent, atS);
  const reach = normalQuantile(0.975) * se;
  const early = crossing(timeS, extent, level - reach);
  const late = crossing(timeS, extent, level + reach);
  return [Math.min(early ?? unseenS, unseenS), late === null ? null : Math.max(late, atS)];
}

/** The curve at a time, straight between its points. */
function reached(timeS: readonly number[], extent: readonly number[], atS: number): number {
  const after = Math.max(
    1,
    timeS.findIndex((time) => time >= atS),
  );
  const share = (atS - timeS[after - 1]!) / (timeS[after]! - timeS[after - 1]!);
  return extent[after - 1]! + share * (extent[after]! - extent[after - 1]!);
}

/** First time at which the curve stands at a level, straight between its points; `null`: never. */
function crossing(timeS: readonly number[], extent: readonly number[], level: number): number | null {
  const after = extent.findIndex((value) => value >= level);
  if (after <= 0) return after < 0 ? null : timeS[0]!;
  const share = (level - extent[after - 1]!) / (extent[after]! - extent[after - 1]!);
  return timeS[after - 1]! + share * (timeS[after]! - timeS[after - 1]!);
}

function effectiveLooks(time: Float64Array, { tau, whiteShare }: NoiseShape): number {
  let looks = 1;
  for (let i = 1; i < time.length; i += 1) {
    const alike = tau === 0 ? 0 : (1 - whiteShare) * Math.exp((time[i - 1]! - time[i]!) / tau);
    looks += Math.sqrt(1 - alike);
  }
  return looksPerFrame * looks;
}
