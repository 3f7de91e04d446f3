import { assess } from './assess.ts';
import { assumptionsOf } from './assumptions.ts';
import { runChecks } from './checks/run-checks.ts';
import type { Estimate } from '../model/estimate.ts';
import type { Vial } from '../model/run.ts';
import { coderError } from './coder-error.ts';
import { readingEstimate } from './estimates.ts';
import { judgeSamples } from './judge-samples.ts';
import { levelOf } from './level.ts';
import { negativeBand } from './negative-band.ts';
import { against } from './rate-ratios.ts';
import { ratesAtReference } from './rates-at-reference.ts';
import { readingWindow } from './reading-window.ts';
import { judgeReferences } from './references.ts';
import type { JudgeInput, JudgeOutput, Reading } from './types.ts';
import { flagsOf } from './vial-flags.ts';

/**
 * Judges a run: reads every vial at the reading time, compares samples with references, and checks whether the run can be
 * believed. Pure; in milliseconds. Throws UserError only for a margin in mol % without the amounts it needs.
 */
export function judgeRun(input: JudgeInput): JudgeOutput {
  const situation = assess(input);
  const judged = judgeSamples(situation);
  const checks = runChecks(situation, judged);
  return {
    readAtS: situation.readingTime.readAtS,
    readAtDeclared: situation.readingTime.declared,
    marginExtent: situation.margin.value,
    betweenVialSd: situation.spreadAssumed ? null : situation.pooled.spread,
    atRead: situation.vials.map(({ vial, atRead }) => estimateOf(input, vial, atRead)),
    last: situation.vials.map(({ vial, last }) => estimateOf(input, vial, last)),
    vialFlags: situation.vials.map((vial) => flagsOf(situation, vial)),
    atReferenceTemperature: situation.vials.map((vial) => ratesAtReference(input.temperature, vial)),
    samples: judged.map((sample) => ({
      ...sample.record,
      against: against(situation, sample.members),
      level: levelOf(situation, sample),
    })),
    references: judgeReferences(situation),
    readingWindow: readingWindow(situation.vials, situation.margin.value),
    checks,
    assumptions: assumptionsOf(situation),
    negativeBand: negativeBand(situation),
  };
}

function estimateOf(input: JudgeInput, vial: Vial, reading: Reading | null): Estimate | null {
  return readingEstimate(reading, reading === null ? 0 : coderError(input, vial, reading.value));
}
