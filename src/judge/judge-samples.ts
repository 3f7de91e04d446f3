import type { ResultEstimate, ResultSample } from '../model/result.ts';
import { studentTQuantile } from '../numeric/student-t.ts';
import { levelOfNegatives, pathSeOfStep, smallestMargin } from './attainable-margin.ts';
import { boundsOf } from './bounds.ts';
import { difference } from './difference.ts';
import type { Difference } from './difference.ts';
import { judgeable } from './obstacles.ts';
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
  const differences = fit.map((entry) =>
    yardstick.length === 0 || entry.fit.length === 0
      ? null
      : difference(
          entry.fit.map((judged) => judged.atRead!),
          yardstick,
          { spread: usedSpread, knownDf, lightSe, pathSeAtMargin },
        ),
  );
  const scale = input.path.pinnedEnd ? 1 : unpinnedScale;
  const bounds = boundsOf(differences, alpha, margin.value * scale);
  return samples.map((sample, i) => {
    const d = differences[i]!;
    const verdict = outcomeOf(situation, {
      sample,
      leftOut: fit[i]!.leftOut,
      members: fit[i]!.fit,
      difference: d,
      bounds: bounds[i]!,
      scale,
      smallestMargin: d === null ? null : smallestMargin(situation, d) * scale,
    });
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
