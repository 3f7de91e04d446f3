import { chiSquareQuantile } from '../numeric/chi-square.ts';
import type { CandidateFit } from './fit-candidate.ts';

/**
 * Degrees of freedom of the chi-square law that bounds the ratio under no change. The textbook law does not hold (rates
 * and times mean nothing then, and the best of seven models is taken). Measured on still AR(1) series of 30 to 2000
 * frames, rho 0 to 0.9: 5 % points 5.8 to 7.6 (this law: 7.8), 1 % points 8.8 to 12.2 (11.3); tests/kinetics repeats it.
 */
const ratioDf = 3;

/**
 * Whether the series moves at all: the likelihood ratio of the best moving model to `none`, each with its own errors,
 * against the stated chance of a false alarm.
 */
export function isRising(candidates: readonly CandidateFit[], falseAlarm: number): boolean {
  const still = candidates.find(({ model }) => model.name === 'none')!;
  const ratio = still.deviance - Math.min(...candidates.filter((c) => c !== still).map(({ deviance }) => deviance));
  return ratio > chiSquareQuantile(1 - falseAlarm, ratioDf);
}
