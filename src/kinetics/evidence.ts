import { chiSquareQuantile } from '../numeric/chi-square.ts';
import type { CandidateFit } from './fit-candidate.ts';

/**
 * Whether the series moves at all: the likelihood ratio of the best moving model to `none`, each with its own errors,
 * against the stated chance of a false alarm.
 */
export function isRising(candidates: readonly CandidateFit[], falseAlarm: number): boolean {
  const still = candidates.find(({ model }) => model.name === 'none')!;
  const ratio = still.deviance - Math.min(...candidates.filter((c) => c !== still).map(({ deviance }) => deviance));
  return ratio > chiSquareQuantile(1 - falseAlarm, 4);
}
