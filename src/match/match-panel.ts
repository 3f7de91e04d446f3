import { compare, type Measured } from './compare.ts';
import { noiseOf, vialVariance } from './noise.ts';
import type { Comparison, PanelMatch, Unit, VialColour, View, ViewFacts } from './types.ts';
import { unitsOf } from './units.ts';
import { agrees, differing, verdictOf } from './verdicts.ts';
import { answerOf } from './answers.ts';

export interface MatchOptions {
  /** Risk of one false difference among all pairs of sample and reference; and, for each sample, of one false agreement. */
  readonly alpha: number;
  /** Error between two runs, root-mean-square CIEDE2000; of no account within one. */
  readonly dayError: number;
}

/**
 * Compares every sample with every known (and with the blank), and the knowns with each other. All vials are units of one noise:
 * that of replicates, pooled. Never an identity: agreement of colour only.
 */
export function matchPanel(vials: readonly VialColour[], { alpha, dayError }: MatchOptions): PanelMatch {
  const { units, spentDf } = unitsOf(vials);
  const views = viewsOf(units, spentDf, dayError);
  const candidates = [...units.filter(({ role }) => role === 'known'), ...units.filter(({ role }) => role === 'blank')];
  const samples = units.filter(({ role }) => role === 'sample');
  const hasReplicates = views[0]!.noise.df > 0;

  const mutual = candidates.flatMap((first, index) =>
    candidates.slice(index + 1).map((second) => compare(first, second, views)),
  );
  const apart = differing(mutual, alpha);
  const panel = mutual.map((pair, index) => verdictOf(pair, apart[index]!, agrees(pair, alpha, 1), hasReplicates));

  const pairs = samples.map((sample) => candidates.map((known) => compare(sample, known, views)));
  const differs = differing(pairs.flat(), alpha);
  const answers = samples.map((sample, row) => {
    const against: Comparison[] = pairs[row]!.map((pair, column) =>
      verdictOf(
        pair,
        differs[row * candidates.length + column]!,
        agrees(pair, alpha, rivalsOf(pair, mutual)),
        hasReplicates,
      ),
    );
    return answerOf(sample.name, against, panel);
  });
  return { alpha, units, views, samples: answers, panel };
}

/**
 * Knowns within three margins of this one, itself counted. A sample the margin away from one is at least twice the margin from any known
 * beyond (triangle), where a false agreement is out of reach: only these need share the risk.
 */
function rivalsOf({ second: name, final: { margin } }: Measured, mutual: readonly Measured[]): number {
  return (
    1 + mutual.filter(({ first, second, final }) => [first, second].includes(name) && final.value < 3 * margin).length
  );
}

function viewsOf(units: readonly Unit[], spentDf: number, dayError: number): readonly ViewFacts[] {
  const wanted: readonly View[] = units.every(({ history }) => history === null) ? ['final'] : ['final', 'history'];
  return wanted.map((view) => {
    const noise = noiseOf(units, view, spentDf, dayError);
    const typical = units.reduce((sum, unit) => sum + vialVariance(unit, view, noise), 0) / Math.max(1, units.length);
    return {
      view,
      noise,
      likeVials: Math.sqrt(2 * typical),
      raised: typical <= noise.floor * 1.0001 && noise.floor > 0,
    };
  });
}
