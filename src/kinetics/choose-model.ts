import type { ModelName } from '../model/fit.ts';
import type { CandidateFit } from './fit-candidate.ts';

/**
 * A simpler curve keeps its name while its AICc is within this of the best. Not the textbook's 2 (K. P. Burnham &
 * D. R. Anderson, Model Selection and Multimodel Inference (2002), sect. 2.6): extents read from films err by more than
 * their noise says, alike for neighbouring frames, and such bends of first-order vials passed for a second step by up to
 * 14 in modelled films. Real second steps there stand off by a hundred and more.
 */
const support: Partial<Record<ModelName, number>> = { 'first-order': 16, 'zero-order': 16 };

/** The simpler curves each model contains as limits; the others are rivals and only AICc decides. */
const contains: Partial<Record<ModelName, readonly ModelName[]>> = {
  'first-order': ['zero-order'],
  'first-order-induction': ['first-order', 'zero-order'],
  'burst-background': ['first-order', 'zero-order'],
  consecutive: ['first-order', 'zero-order'],
  sigmoid: ['first-order'],
  // its beginning: a trace hardly used up rises straight
  'second-order': ['zero-order'],
};

/**
 * The model of greatest weight, or a simpler one inside it with nearly as much support, or one whose curve differs from it nowhere
 * by more than `alike` (extent): what the correction of light may leave bends a straight line. `null` when none has weight.
 */
export function chooseModel(
  candidates: readonly CandidateFit[],
  weights: readonly (number | null)[],
  alike = 0,
): CandidateFit | null {
  const weightOf = (candidate: CandidateFit): number => weights[candidates.indexOf(candidate)] ?? 0;
  const most = Math.max(...candidates.map(weightOf));
  if (!(most > 0)) return null;
  const best = candidates.find((candidate) => weightOf(candidate) === most)!;
  const simpler = candidates.filter(
    (other) =>
      contains[best.model.name]?.includes(other.model.name) === true &&
      (other.curveParameters < best.curveParameters + 0.5 || best.model.name === 'sigmoid') &&
      (weightOf(other) >= most * Math.exp(-(support[other.model.name] ?? 0) / 2) || largestGap(best, other) <= alike),
  );
  return simpler.reduce((kept, other) => (weightOf(kept) > weightOf(other) ? kept : other), simpler[0] ?? best);
}

/** Largest distance of two fitted curves, their offsets with them, over the frames. */
function largestGap(first: CandidateFit, second: CandidateFit): number {
  const curve = ({ reaction, fit, target }: CandidateFit): Float64Array => {
    const value = new Float64Array(target.time.length);
    reaction.evaluate(fit.b, target.time, value, null);
    return value.map((one) => one + fit.b[0]!);
  };
  const other = curve(second);
  return curve(first).reduce((most, value, i) => Math.max(most, Math.abs(value - other[i]!)), 0);
}

/** Whether a model stands at a bound where it is only a simpler candidate again, and no better than that one. */
export function isRedundant(candidate: CandidateFit, candidates: readonly CandidateFit[]): boolean {
  return (
    candidate.fit.atBound.slice(0, candidate.reaction.lower.length).includes(true) &&
    candidates.some(
      (other) =>
        other.model.name !== 'none' &&
        other.curveParameters < candidate.curveParameters - 0.5 &&
        other.deviance < candidate.deviance + 1,
    )
  );
}
