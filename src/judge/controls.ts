import type { Result } from '../model/result.ts';
import { localEstimate } from './local-estimate.ts';
import { mean } from '../numeric/mean.ts';
import type { Situation } from './situation.ts';
import type { JudgedVial } from './types.ts';

/** A reference counts as turned above this extent (the contract's reading window). */
export const turnedExtent = 0.5;

/** Checks by which a run's own controls fail: then the command ends with 3 and nothing is said to have resisted. */
const controlCodes: readonly string[] = ['positives-turned', 'negatives-still', 'blank-still', 'panel-tells'];

/** Whether the run's own controls failed. */
export function controlsFailed(result: Pick<Result, 'checks'>): boolean {
  return result.checks.some(({ code, status }) => status === 'fail' && controlCodes.includes(code));
}

/** Standard errors by which a still vial must exceed the margin to be called turned; chosen, about 95 %. */
const clearly = 2;

/** Whether a vial had turned by the reading time; `null` when it could not be read, or its colour then tells nothing. */
export function hasTurned(judged: JudgedVial, readAtS: number): boolean | null {
  if (judged.trouble !== null) return judged.trouble.turnedBefore ? true : null;
  if (judged.atRead !== null) return judged.atRead.value > turnedExtent;
  // A vial taken away early still counts when it had turned by then.
  if (judged.last !== null && judged.last.timeS <= readAtS && judged.last.value > turnedExtent) return true;
  return null;
}

export interface StillVial {
  readonly judged: JudgedVial;
  /** Extent above the yardstick (the blank, or the vial's own start). */
  readonly excess: number;
  readonly state: 'still' | 'doubtful' | 'turned';
}

/** Each readable negative against the mean of the blanks (or against extent 0 without a blank). */
export function negativesAgainstBlank({ negatives, blanks, margin }: Situation): readonly StillVial[] {
  const level = blanks.length === 0 ? 0 : mean(blanks.map(({ atRead }) => atRead!.value));
  const levelSe = blanks.length === 0 ? 0 : mean(blanks.map(ownSe)) / Math.sqrt(blanks.length);
  return negatives.map((judged) => {
    const excess = judged.atRead!.value - level;
    return { judged, excess, state: stateOf(excess, Math.hypot(ownSe(judged), levelSe), margin.value) };
  });
}

/** Each readable blank against its own beginning, either way. */
export function blanksAgainstStart({ blanks, margin }: Situation): readonly StillVial[] {
  return blanks.map((judged) => {
    const start = localEstimate(judged.usable, judged.fit, judged.usable.timeS[0]!)!;
    const drift = judged.atRead!.value - start.value;
    const se = Math.hypot(judged.atRead!.frameSe, start.se);
    return { judged, excess: drift, state: stateOf(Math.abs(drift), se, margin.value) };
  });
}

function ownSe({ atRead }: JudgedVial): number {
  return Math.hypot(atRead!.frameSe, atRead!.vialSe ?? 0);
}

function stateOf(excess: number, se: number, margin: number): StillVial['state'] {
  if (excess <= margin) return 'still';
  return excess > margin + clearly * se ? 'turned' : 'doubtful';
}

/** Whether the reagent has been seen to work: every positive turned, or without positives any vial of the rack did. */
export function reagentWorks({ input, vials, readingTime }: Situation): boolean {
  const positives = vials.filter(({ vial }) => vial.role === 'positive');
  const turned = (judged: JudgedVial): boolean => hasTurned(judged, readingTime.readAtS) === true;
  if (positives.length === 0) return input.run.vials.length > 0 && vials.some(turned);
  return positives.some(turned) && positives.every((judged) => hasTurned(judged, readingTime.readAtS) !== false);
}
