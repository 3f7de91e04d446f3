import { UserError } from './errors.ts';
import { shownPath } from './files/index.ts';
import { findDosingTime, type DosingTime } from './find/index.ts';
import type { Estimate } from './model/estimate.ts';
import type { Fit } from './model/fit.ts';
import type { Measurement } from './model/measurement.ts';
import type { Reaction } from './model/reaction.ts';
import type { Run } from './model/run.ts';

export interface DosingTimes {
  /** Run clock at which each vial got its reagent, seconds, in the order of the run file. */
  readonly addedRunS: readonly number[];
  /** Standard uncertainty of each, seconds; 0 where the run file gives the time or it was taken for granted. */
  readonly addedRunU: readonly number[];
  /** Dosed before the first frame at a time nobody told: times since dosing are lower bounds. */
  readonly unseen: readonly boolean[];
  /** What was found or taken for granted, a sentence each; empty when all times are given. */
  readonly assumptions: readonly string[];
}

/**
 * The dosing times of a run file, those left out found in the film. A vial that holds reagent from the first frame on counts as dosed
 * at run time 0, and the result says so.
 * @throws UserError naming run file and key when a time is left out and cannot be seen.
 */
export function dosingTimes(run: Run, measurement: Measurement, reaction: Reaction): DosingTimes {
  const { timeRunS } = measurement.frames;
  const searchable = /orange|yellow/i.test(reaction.startColour);
  const found: string[] = [];
  const before: string[] = [];
  const times = run.vials.map((vial, index): readonly [addedRunS: number, u: number] => {
    if (vial.addedRunS !== null) return [vial.addedRunS, 0];
    const colours = measurement.vials.find(({ id }) => id === vial.region)!;
    const dosing = searchable ? findDosingTime(timeRunS, colours) : unknownLook;
    if (dosing.status === 'found') {
      found.push(`${vial.region} at ${Math.round(dosing.addedRunS)} \u00b1 ${Math.max(1, Math.round(dosing.u))} s`);
      return [dosing.addedRunS, dosing.u];
    }
    if (dosing.status === 'before-first-frame') {
      before.push(vial.region);
      return [0, 0];
    }
    throw new UserError({
      code: 'dosing-not-seen',
      message: `vial "${vial.label}" (${vial.region}) has no dosing time, and none can be seen: ${dosing.reason}`,
      file: shownPath(run.file),
      key: `vials[${index}].added_run_s`,
      expected: 'seconds from the first frame to the moment its reagent was added, negative if before it',
      hint: 'add added_run_s: to this vial, from the bench notes (-600 when it was dosed ten minutes before the film began)',
    });
  });
  return {
    addedRunS: times.map(([addedRunS]) => addedRunS),
    addedRunU: times.map(([, u]) => u),
    unseen: run.vials.map(({ region }) => before.includes(region)),
    assumptions: [
      ...(found.length === 0
        ? []
        : [
            `Dosing times not given were read from the film (\u00b1 standard uncertainty, which is part of the errors of onset, half-time, induction and rates): ${found.join(', ')}.`,
          ]),
      ...(before.length === 0
        ? []
        : [
            `${before.join(', ')} held reagent already in the first usable frame (${Math.round(timeRunS[0] ?? 0)} s): dosed before the film began, and no dosing time was given. Their times count from the first frame (0 s) and are too short by an unknown amount: onset, half-time and induction have no upper bound, rates and the burst are those of what was left, and neither constant nor initial rate has an interval or is compared. Give added_run_s (negative: seconds before the first frame) from the bench notes, and film from before dosing.`,
          ]),
    ],
  };
}

/**
 * A fit whose times since dosing carry the uncertainty of the dosing itself (added in quadrature, to each side of an interval);
 * without upper bounds where the dosing was `unseen`. Constant and initial rate carry what a clock that is off by `u` does to a
 * first-order course, `k u` of itself (least squares over the whole course; k = ln 2 / half-time). Where the dosing was unseen they have
 * no interval: a curve that begins part of the way up looks like a burst, so both may be off by any factor.
 */
export function withDosingError(fit: Fit, u: number, unseen = false): Fit {
  if (u === 0 && !unseen) return fit;
  // 1.96: the normal's 97.5 % quantile.
  const side = (value: number, bound: number | null, sign: -1 | 1): number | null =>
    bound === null ? null : value + sign * Math.hypot(bound - value, 1.96 * u);
  const wider = <T extends Estimate>(time: T): T => ({
    ...time,
    se: time.se === null || unseen ? null : Math.hypot(time.se, u),
    ci95: [side(time.value, time.ci95[0], -1), unseen ? null : side(time.value, time.ci95[1], 1)],
  });
  const half = fit.halfTimeS;
  const relative = half === null || half.value <= 0 ? 0 : (Math.LN2 * u) / half.value;
  // A vial that did not move has an upper limit alone, which half a frame does not shift.
  const rate = <R extends Estimate>(one: R): R => {
    if (one.se === null) return one;
    if (unseen) return { ...one, se: null, ci95: [null, null] };
    const more = relative * Math.abs(one.value);
    const [low, high] = one.ci95;
    const reach = (bound: number): number => Math.hypot(bound - one.value, 1.96 * more);
    return {
      ...one,
      se: Math.hypot(one.se, more),
      ci95: [low === null ? null : one.value - reach(low), high === null ? null : one.value + reach(high)],
    };
  };
  const constant = fit.rateConstant;
  return {
    ...fit,
    rateConstant: constant === null ? null : rate(constant),
    initialRate: fit.initialRate === null ? null : rate(fit.initialRate),
    onsetS: fit.onsetS === null ? null : wider(fit.onsetS),
    halfTimeS: fit.halfTimeS === null ? null : wider(fit.halfTimeS),
    inductionS: fit.inductionS === null ? null : wider(fit.inductionS),
  };
}

/** The look that is searched for is an orange or yellow solution's; nothing is known of other reagents. */
const unknownLook: DosingTime = {
  status: 'not-seen',
  reason: 'the look of this reaction\u2019s fresh reagent is not known to the program',
};
