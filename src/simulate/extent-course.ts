import type { Kinetics } from './scenario.ts';

/**
 * Extent at `timeS` seconds after dosing, 0 before it, never above 1. Rates are multiplied by `rateFactor`.
 * Written from the rate laws for the simulation alone; the analysis has its own.
 */
export function extentAt(kinetics: Kinetics, timeS: number, rateFactor = 1): number {
  if (kinetics.model === 'constant') return kinetics.extent;
  if (timeS <= 0) return 0;
  return Math.min(1, course(kinetics, timeS * rateFactor));
}

/** `t` is time times the rate factor: every rate scales alike. */
function course(kinetics: Kinetics, t: number): number {
  switch (kinetics.model) {
    case 'none':
      return 0;
    case 'constant':
      return kinetics.extent;
    case 'zero-order':
      return kinetics.rate * t;
    case 'first-order':
    case 'burst-background':
      return kinetics.amplitude * -Math.expm1(-kinetics.k * t) + kinetics.background * t;
    case 'first-order-induction':
      return kinetics.amplitude * -Math.expm1(-kinetics.k * Math.max(0, t - kinetics.inductionS));
    case 'consecutive':
      return kinetics.amplitude * consecutive(kinetics.k1, kinetics.k2, t);
    case 'sigmoid': {
      const logistic = (at: number): number => 1 / (1 + Math.exp(-kinetics.k * (at - kinetics.middleS)));
      // Shifted to start at zero: a logistic has already begun at time 0.
      return (kinetics.amplitude * (logistic(t) - logistic(0))) / (1 - logistic(0));
    }
    case 'colours':
      return -Math.expm1(-kinetics.k * t);
    case 'second-order':
      return (kinetics.amplitude * kinetics.k * t) / (1 + kinetics.k * t);
  }
}

/** Product share of A -> B -> C, both first order. */
function consecutive(k1: number, k2: number, t: number): number {
  // Equal constants are the limit of the formula; near it the difference quotient loses digits.
  if (Math.abs(k1 - k2) < 1e-6 * k1) return 1 - (1 + k1 * t) * Math.exp(-k1 * t);
  return 1 - (k2 * Math.exp(-k1 * t) - k1 * Math.exp(-k2 * t)) / (k2 - k1);
}
