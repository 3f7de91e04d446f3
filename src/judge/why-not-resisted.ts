import { blanksAgainstStart, hasTurned, reagentWorks } from './controls.ts';
import { regionsText } from './obstacles.ts';
import type { Evidence } from './outcome.ts';
import type { Situation } from './situation.ts';
import { extentText, numberText } from './text.ts';

/**
 * What forbids saying that this sample resisted, whatever its upper bound: the first reason that applies; `null`: nothing does.
 */
export function whyNotResisted(situation: Situation, evidence: Evidence): string | null {
  const { margin, vials, readingTime, input } = situation;
  if (!reagentWorks(situation)) {
    const positives = vials.filter(({ vial }) => vial.role === 'positive');
    if (positives.length === 0) {
      return 'No positive reference is in the rack and no vial turned, so nothing shows that the reagent works: a sample that stays still may have met a dead reagent.';
    }
    const dead = positives.filter((judged) => hasTurned(judged, readingTime.readAtS) !== true);
    const troubled = dead.flatMap(({ trouble }) => (trouble === null ? [] : [trouble.sentence]));
    if (troubled.length === dead.length) {
      return `No positive reference shows that the reagent works, so a sample that stays still proves nothing: ${troubled.join('; ')}.`;
    }
    return `The run's own controls failed: ${regionsText(dead)}, which must react, had not turned by the reading time, so a sample that stays still proves nothing.`;
  }
  const drifted = blanksAgainstStart(situation).filter(({ state }) => state === 'turned');
  if (drifted.length > 0) {
    return `The run's own controls failed: the blank (${regionsText(drifted.map(({ judged }) => judged))}) drifted by more than the margin ${extentText(margin.value)}, so still and moving vials cannot be told apart.`;
  }
  if (situation.singleNegative) {
    return 'One negative reference and no history of this rig do not show how much vials differ, so nothing can be said to have resisted: add negative references, two at the least, better three or four.';
  }
  if (evidence.smallestMargin !== null && evidence.smallestMargin >= margin.value) {
    return unattainable(situation, evidence, evidence.smallestMargin);
  }
  if (!input.path.pinnedEnd && evidence.bounds!.upper * evidence.scale >= margin.value) {
    return `No positive reference reached its plateau, so extents are relative and may be ${evidence.scale} times too small: let the run go on until a positive reference stops changing.`;
  }
  return null;
}

function unattainable(situation: Situation, { difference, scale }: Evidence, smallest: number): string {
  const d = difference!;
  const parts = [
    `spread between vials ${extentText(d.vialSe)}`,
    ...(d.pathSe > 0.0005 ? [`colour path ${extentText(d.pathSe)}`] : []),
    ...(d.lightSe > 0 ? [`light ${extentText(d.lightSe)}`] : []),
  ];
  const lamp = situation.input.measurement.light.basis === 'none' ? ' Lamp drift could not be told from reaction.' : '';
  const relative = scale > 1 ? ' Extents are relative: no positive reference reached its plateau.' : '';
  return `The margin ${extentText(situation.margin.value)} cannot be met in this run (standard errors: ${parts.join(', ')}): the smallest that could be is ${numberText(roundUp(smallest))}. More negative references or replicates bring it down.${lamp}${relative}`;
}

/** Up to two significant digits, so that the margin named can indeed be met. */
function roundUp(value: number): number {
  const unit = 10 ** (Math.floor(Math.log10(value)) - 1);
  return Math.ceil(value / unit - 1e-9) * unit;
}
