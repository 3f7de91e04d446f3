import type { ResultEstimate, ResultSample } from '../model/result.ts';
import { studentTQuantile } from '../numeric/student-t.ts';
import { levelOfNegatives, pathSeOfStep, smallestMargin } from './attainable-margin.ts';
import { readBeforeMoves, sameWithoutMove } from './before-move.ts';
import { boundsOf } from './bounds.ts';
import { difference } from './difference.ts';
import type { Difference } from './difference.ts';
import { judgeable } from './obstacles.ts';
import type { Judgeable } from './obstacles.ts';
import { outcomeOf } from './outcome.ts';
import type { Verdict } from './outcome.ts';
import type { Situation } from './situation.ts';
import type { JudgedVial } from './types.ts';
import { halfWidth } from './variance-parts.ts';

/**
 * Extents are only relative when no positive reference reached its plateau: a statement must then hold for a scale this
 * much wider and narrower. Chosen: spectra without a pinned end gave extents wrong by up to 0.2 (measured on modelled racks),
 * less than this factor allows from 0.2 on.
 */
export const unpinnedScale = 2;

interface Decided {
  readonly verdict: Verdict;
  readonly difference: Difference | null;
}

export interface JudgedSample {
  readonly verdict: Verdict;
  readonly difference: Difference | null;
  /** Replicates the verdict rests on. */
  readonly members: readonly JudgedVial[];
  /** The result's record without the comparisons and the level. */
  readonly record: Omit<ResultSample, 'against' | 'level'>;
}

/** Every sample's outcome at the reading time, in the order of the situation's samples. */
export function judgeSamples(situation: Situation): readonly JudgedSample[] {
  const { input, samples, negatives, margin, usedSpread, lightSe } = situation;
  const { alpha } = input.run;
  const fit = samples.map((sample) => judgeable(situation, sample));
  const pathSeAtMargin = pathSeOfStep(input.path, levelOfNegatives(situation), margin.value);
  const knownDf = input.series.find(({ vialSeDf }) => vialSeDf !== undefined)?.vialSeDf ?? null;
  const yardstick = negatives.map((judged) => judged.atRead!);
  const scale = input.path.pinnedEnd ? 1 : unpinnedScale;
  const decide = (judgeables: readonly Judgeable[]): readonly Decided[] => {
    const differences = judgeables.map((entry) =>
      yardstick.length === 0 || entry.fit.length === 0
        ? null
        : difference(
            entry.fit.map((judged) => judged.atRead!),
            yardstick,
            { spread: usedSpread, knownDf, lightSe, pathSeAtMargin },
          ),
    );
    const bounds = boundsOf(differences, alpha, margin.value * scale);
    return judgeables.map(({ fit: members, leftOut }, i) => {
      const d = differences[i]!;
      const smallest = d === null ? null : smallestMargin(situation, d) * scale;
      const evidence = { leftOut, members, difference: d, bounds: bounds[i]!, scale, smallestMargin: smallest };
      return { difference: d, verdict: outcomeOf(situation, { sample: samples[i]!, ...evidence }) };
    });
  };
  const decided = decide(fit);
  const beforeMoves = fit.map((entry) => readBeforeMoves(situation, entry));
  const before = beforeMoves.some((entry) => entry !== null)
    ? decide(beforeMoves.map((entry, i) => entry ?? fit[i]!))
    : decided;
  return samples.map((sample, i) => {
    const { difference: d, verdict: found } = decided[i]!;
    const verdict =
      beforeMoves[i] === null ? found : sameWithoutMove(situation, fit[i]!.fit, found, before[i]!.verdict);
    return {
      verdict,
      difference: d,
      members: fit[i]!.fit,
      record: {
        group: sample.group,
        label: sample.label,
        regions: sample.members.map(({ vial }) => vial.region),
        expect: sample.expect,
        outcome: verdict.outcome,
        as_expected: asExpected(sample.expect, verdict.outcome),
        reason: verdict.reason,
        extent_difference: d === null ? null : estimateOf(d),
        bound: verdict.bound,
        within_margin: d === null ? null : d.value <= margin.value,
      },
    };
  });
}

function asExpected(expect: ResultSample['expect'], outcome: ResultSample['outcome']): boolean | null {
  if (expect === null || outcome === 'undecided') return null;
  return outcome === (expect === 'resists' ? 'resisted' : 'reacted');
}

function estimateOf({ value, se, parts }: Difference): ResultEstimate {
  const half = halfWidth(parts, (df) => studentTQuantile(0.975, df));
  return { value, se, ci95: [value - half, value + half] };
}
