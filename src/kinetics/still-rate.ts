import type { Estimate } from '../model/estimate.ts';
import { constantEstimate, intervalBasis } from './constants.ts';
import type { CandidateFit } from './fit-candidate.ts';

/**
 * Rate of a vial that did not move beyond chance: not measured, only bounded. 0 without standard error, and the upper
 * 95 % profile-likelihood limit of a straight rise through the same frames: whatever it does, it does not rise faster
 * than that over the run. A burst too small to be seen may have been quicker while it lasted.
 */
export function stillRate(candidates: readonly CandidateFit[], spanS: number, t: number): Estimate | null {
  const straight = candidates.find(({ model }) => model.name === 'zero-order');
  if (straight === undefined) return null;
  const { ci95 } = constantEstimate(intervalBasis(straight, t), 1, (value) => value / spanS);
  return { value: 0, se: null, ci95: [0, ci95[1]] };
}
