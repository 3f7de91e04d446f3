import { compare, type Measured } from './compare.ts';
import { meanLab } from './distance.ts';
import { likeVialsDistance, marginOf } from './margin.ts';
import { noiseOf, type SharedErrors } from './noise.ts';
import type { Comparison, PanelMatch, Unit, VialColour, View, ViewFacts } from './types.ts';
import { agrees, differing, verdictOf } from './verdicts.ts';
import { answerOf } from './answers.ts';

export interface MatchOptions extends SharedErrors {
  /** Risk of one false difference among all pairs of sample and reference; and, for each sample, of one false agreement. */
  readonly alpha: number;
}

/**
 * Compares every sample with every known (and with the blank), and the knowns with each other. All vials are units of one noise:
 * that of replicates, pooled. Never an identity: agreement of colour only.
 */
export function matchPanel(vials: readonly VialColour[], { alpha, ...errors }: MatchOptions): PanelMatch {
  const units = unitsOf(vials);
  const views = viewsOf(units, errors);
  const candidates = [...units.filter(({ role }) => role === 'known'), ...units.filter(({ role }) => role === 'blank')];
  const samples = units.filter(({ role }) => role === 'sample');
  const otherDay = errors.dayError > 0;

  const mutual = candidates.flatMap((first, index) =>
    candidates.slice(index + 1).map((second) => compare(first, second, views, false)),
  );
  const apart = differing(mutual, alpha);
  const panel = mutual.map((pair, index) =>
    verdictOf(pair, apart[index]!, agrees(pair, alpha, 1), factsOf(views, false)),
  );

  const pairs = samples.map((sample) => candidates.map((known) => compare(sample, known, views, otherDay)));
  const differs = differing(pairs.flat(), alpha);
  const margin = views[0]!.margin;
  const answers = samples.map((sample, row) => {
    const against: Comparison[] = pairs[row]!.map((pair, column) =>
      verdictOf(
        pair,
        differs[row * candidates.length + column]!,
        agrees(pair, alpha, rivalsOf(pair.second, mutual, margin)),
        factsOf(views, otherDay),
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
function rivalsOf(name: string, mutual: readonly Measured[], margin: number): number {
  return (
    1 + mutual.filter(({ first, second, final }) => [first, second].includes(name) && final.value < 3 * margin).length
  );
}

function unitsOf(vials: readonly VialColour[]): readonly Unit[] {
  const groups = new Map<string, VialColour[]>();
  for (const vial of vials) {
    const key = `${vial.role}/${vial.unit}`;
    groups.set(key, [...(groups.get(key) ?? []), vial]);
  }
  return [...groups.values()].map((members) => {
    const histories = members.map(({ history }) => history).filter((history) => history !== null);
    return {
      name: members[0]!.unit,
      role: members[0]!.role,
      vials: members,
      final: meanLab(members.map(({ final }) => final)),
      history:
        histories.length === 0 ? null : histories[0]!.map((_, at) => meanLab(histories.map((history) => history[at]!))),
    };
  });
}

function viewsOf(units: readonly Unit[], errors: SharedErrors): readonly ViewFacts[] {
  const wanted: readonly View[] = units.every(({ history }) => history === null) ? ['final'] : ['final', 'history'];
  return wanted.map((view) => {
    const noise = noiseOf(units, view, errors);
    const otherDay = errors.dayError > 0;
    return {
      view,
      noise,
      likeVials: likeVialsDistance(noise, otherDay),
      margin: marginOf(noise, otherDay),
      panelMargin: marginOf(noise, false),
    };
  });
}

function factsOf(views: readonly ViewFacts[], otherDay: boolean): Parameters<typeof verdictOf>[3] {
  const margin = (view: View): number => {
    const facts = views.find((one) => one.view === view) ?? views[0]!;
    return otherDay ? facts.margin : facts.panelMargin;
  };
  return {
    hasReplicates: views[0]!.noise.df > 0,
    margins: { final: margin('final'), history: margin('history') },
  };
}
