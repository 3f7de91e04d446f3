import type { ResultLevel } from '../model/result.ts';
import { negativesAgainstBlank } from './controls.ts';
import type { JudgedSample } from './judge-samples.ts';
import { levelByElectrons } from './level-electrons.ts';
import { levelByStandards } from './level-standards.ts';
import type { Situation } from './situation.ts';

/**
 * How much reducing impurity a sample holds: by the standards of the rack where they make a line, else by electrons where the dose is
 * known. `null` where neither is possible or the negatives are no yardstick.
 */
export function levelOf(situation: Situation, sample: JudgedSample): ResultLevel | null {
  if (sample.difference === null || sample.members.length === 0) return null;
  if (negativesAgainstBlank(situation).some(({ state }) => state === 'turned')) return null;
  return levelByStandards(situation, sample) ?? levelByElectrons(situation, sample);
}
