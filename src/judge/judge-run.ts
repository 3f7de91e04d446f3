import { assess } from './assess.ts';
import { assumptionsOf } from './assumptions.ts';
import { runChecks } from './checks/run-checks.ts';
import { readingEstimate } from './estimates.ts';
import { judgeSamples } from './judge-samples.ts';
import { levelOf } from './level.ts';
import { negativeBand } from './negative-band.ts';
import { against } from './rate-ratios.ts';
import { ratesAtReference } from './rates-at-reference.ts';
import { readingWindow } from './reading-window.ts';
import { judgeReferences } from './references.ts';
import type { JudgeInput, JudgeOutput } from './types.ts';
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
    atRead: situation.vials.map(({ atRead }) => readingEstimate(atRead)),
    last: situation.vials.map(({ last }) => readingEstimate(last)),
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
