import type { Fit } from '../model/fit.ts';
import { rateOfShift, timeOfShift, withPathAllowance } from './path-allowance.ts';

/** Courses whose last part is first order: there the rise at half-way follows from constant and amplitude. */
const exponential: readonly (string | null)[] = ['first-order', 'first-order-induction', 'burst-background'];

/**
 * A fit whose extents may lag behind by `lagSe` (extent, one standard deviation, lasting; a film's coder): constants, initial rates and
 * half-times widened by what that makes of them, each vial for itself. Times of curves that never cross half-way stay as they are.
 */
export function withLag(fit: Fit, lagSe: number): Fit {
  if (lagSe === 0 || fit.model === null || fit.model === 'none') return fit;
  const amplitude = Math.min(1, Math.max(fit.amplitude?.value ?? 1, 0.01));
  const rate = [rateOfShift(lagSe, amplitude)];
  const half = fit.halfTimeS;
  const rise =
    exponential.includes(fit.model) && half !== null && fit.rateConstant !== null
      ? half.value * fit.rateConstant.value * (amplitude - 0.5)
      : null;
  return {
    ...fit,
    rateConstant: fit.rateConstant === null ? null : withPathAllowance(fit.rateConstant, rate),
    initialRate: fit.initialRate === null ? null : withPathAllowance(fit.initialRate, rate),
    halfTimeS: half === null || half.censored !== 'none' ? half : withPathAllowance(half, [timeOfShift(lagSe, rise)]),
  };
}
