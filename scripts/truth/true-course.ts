import { extentAt, type Kinetics } from '../../src/simulate/index.ts';

export interface TrueVial {
  readonly kinetics: Kinetics;
  /** This vial's own rates are the stated ones times this. */
  readonly rateFactor: number;
  readonly addedRunS: number;
}

export const trueExtent = ({ kinetics, rateFactor }: TrueVial, timeS: number): number =>
  extentAt(kinetics, timeS, rateFactor);

/** First time since dosing at which a rising course reaches an extent, s; `null`: not within `lastS`. */
export function timeOfExtent(vial: TrueVial, extent: number, lastS: number): number | null {
  if (trueExtent(vial, lastS) < extent) return null;
  let low = 0;
  let high = lastS;
  for (let step = 0; step < 60; step += 1) {
    const middle = (low + high) / 2;
    if (trueExtent(vial, middle) < extent) low = middle;
    else high = middle;
  }
  return high;
}

/** When anything begins to happen, s since dosing; `null`: never. */
export function startOf({ kinetics, rateFactor }: TrueVial): number | null {
  if (kinetics.model === 'none' || kinetics.model === 'constant') return null;
  return kinetics.model === 'first-order-induction' ? kinetics.inductionS / rateFactor : 0;
}

/** The rate constant of a one-constant course, 1/s; `null` for others. */
export function constantOf({ kinetics, rateFactor }: TrueVial): number | null {
  if (kinetics.model === 'first-order') return kinetics.k * rateFactor;
  return kinetics.model === 'zero-order' ? kinetics.rate * rateFactor : null;
}

/** Initial rate, 1/s, as the models of the analysis define it: behind an induction, at its end. */
export function initialRateOf({ kinetics, rateFactor }: TrueVial): number | null {
  switch (kinetics.model) {
    case 'none':
    case 'constant':
      return 0;
    case 'zero-order':
      return kinetics.rate * rateFactor;
    case 'first-order':
    case 'burst-background':
      return (kinetics.amplitude * kinetics.k + kinetics.background) * rateFactor;
    case 'first-order-induction':
      return kinetics.amplitude * kinetics.k * rateFactor;
    default:
      return null;
  }
}

export type Interval = readonly [number | null, number | null];

export function holds([low, high]: Interval, value: number): boolean {
  return (low === null || low <= value) && (high === null || value <= high);
}
