import type { JudgedVial } from './types.ts';

/** Time constants after which a first-order part counts as complete: 95 % of it is over. */
const completeAfter = 3;

/** The quick part of a vial's curve, in extent. */
export interface QuickPart {
  readonly value: number;
  readonly se: number;
  /** Whether it had run its course before the end of the curve. */
  readonly complete: boolean;
}

/**
 * The burst of a curve: the amplitude of its first-order part. A flat or straight curve has none (0, complete): what is slow is the bulk's own
 * reaction. Never more than what the last frames can be the end of: a fit may explain a curve that stops short by a bent path and a larger
 * amplitude. `null` where the fit failed or tells no amplitude.
 */
export function quickPart({ fit, usable, last }: JudgedVial): QuickPart | null {
  const lastS = usable.timeS.at(-1);
  if (fit.model === null || lastS === undefined) return null;
  if (fit.model === 'none' || fit.model === 'zero-order') return { value: 0, se: 0, complete: true };
  if (fit.amplitude === null || fit.amplitude.se === null || fit.rateConstant === null) return null;
  // Second-order and sigmoid curves have other time laws: only first-order parts are known to end.
  const exponential = ['first-order', 'first-order-induction', 'burst-background', 'consecutive'].includes(fit.model);
  const sinceS = lastS - (fit.inductionS?.value ?? 0);
  const passed = fit.rateConstant.value * sinceS;
  const ended = exponential && last !== null && passed > 0 ? last.value / -Math.expm1(-passed) : Infinity;
  return {
    value: Math.min(fit.amplitude.value, Math.max(ended, 0)),
    se: fit.amplitude.se,
    complete: exponential && passed >= completeAfter,
  };
}
