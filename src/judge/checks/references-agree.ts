import { grubbsTest } from '../../numeric/grubbs-test.ts';
import type { Check } from '../situation.ts';
import { median } from '../../numeric/median.ts';
import { durationText, extentText, listText } from '../text.ts';
import type { JudgedVial } from '../types.ts';

/** Half-times of like positives that differ by more than this factor disagree; chosen: far beyond pipetting. */
const halfTimeFactor = 1.5;

/** Risk of calling one of like negatives apart; chosen strict, as the test is made in every run. */
const apartAlpha = 0.01;
/** A negative that stands apart within the margin is worth a word from this share of the margin on. Chosen. */
const apartShare = 0.5;

/** Replicate references must tell the same story: negatives within the margin of each other, like positives alike in half-time. */
export const referencesAgree: Check = ({ vials, negatives, margin }) => {
  const code = 'references-agree';
  const troubles = [negativesApart(negatives, margin.value), positivesApart(vials)].filter((one) => one !== null);
  if (troubles.length > 0) return [{ code, status: 'warn', message: troubles.join(' ') }];
  const groups = replicatePositives(vials);
  const compared = negatives.length > 1 || groups.some((group) => halfTimes(group).length > 1);
  const missing = notCompared(vials, negatives, groups);
  const because = missing.length === 0 ? '' : ` ${missing.join(' ')}`;
  if (compared) {
    const far = missing.length === 0 ? '' : ' as far as they could be compared';
    return [{ code, status: 'pass', message: `Replicate references agree with each other${far}.${because}` }];
  }
  const message =
    missing.length > 0
      ? `Replicate references could not be compared.${because}`
      : 'No reference has a second vial, so none can be compared with another.';
  return [{ code, status: 'warn', message }];
};

/** Replicates that the rack has and that tell nothing by the reading time, a sentence each. */
function notCompared(
  vials: readonly JudgedVial[],
  negatives: readonly JudgedVial[],
  groups: readonly (readonly JudgedVial[])[],
): string[] {
  const ofRack = vials.filter(({ vial }) => vial.role === 'negative');
  const unread = ofRack.filter((judged) => !negatives.includes(judged));
  const early = unread.length > 0 && unread.every(({ notRead }) => notRead === 'stopped-early');
  const why = early ? 'the run stopped before the reading time' : 'they could not be used at the reading time';
  return [
    ...(ofRack.length > 1 && negatives.length < 2
      ? [`Negatives (${listText(unread.map(({ vial }) => vial.region))}): ${why}.`]
      : []),
    ...groups
      .filter((group) => halfTimes(group).length < 2)
      .map((group) => `Like positives (${listText(group.map(({ vial }) => vial.region))}): no two were seen half-way.`),
  ];
}

function negativesApart(negatives: readonly JudgedVial[], margin: number): string | null {
  const values = negatives.map(({ atRead }) => atRead!.value);
  const centre = median(values);
  if (centre === null || values.length < 2) return null;
  const range = Math.max(...values) - Math.min(...values);
  if (range <= margin) return oneApart(negatives, values, margin);
  const odd = negatives.filter(({ atRead }) => Math.abs(atRead!.value - centre) > margin);
  const names =
    odd.length > 0 && values.length > 2 ? `: ${listText(odd.map(({ vial }) => vial.region))} stands apart` : '';
  return `Negative references differ by ${extentText(range)} in extent, more than the margin ${extentText(margin)}${names}.`;
}

/**
 * One negative apart from the rest by Grubbs' test though within the margin: it counts, and widens every comparison. It is never left
 * out for that: a yardstick without its awkward vials is too kind.
 */
function oneApart(negatives: readonly JudgedVial[], values: readonly number[], margin: number): string | null {
  const test = grubbsTest(values, apartAlpha);
  if (test === null || !test.outlier) return null;
  const rest = median(values.filter((_, index) => index !== test.index))!;
  const away = values[test.index]! - rest;
  if (Math.abs(away) <= apartShare * margin) return null;
  return `${negatives[test.index]!.vial.region} stands apart from the other negative references by ${extentText(Math.abs(away))} in extent (Grubbs' test, alpha ${apartAlpha}): within the margin, but it widens every comparison. Look for dirt or a mix-up.`;
}

function replicatePositives(vials: readonly JudgedVial[]): readonly (readonly JudgedVial[])[] {
  const byLabel = new Map<string, JudgedVial[]>();
  for (const judged of vials) {
    if (judged.vial.role !== 'positive') continue;
    const key = judged.vial.group ?? judged.vial.label;
    byLabel.set(key, [...(byLabel.get(key) ?? []), judged]);
  }
  return [...byLabel.values()].filter((group) => group.length > 1);
}

function halfTimes(group: readonly JudgedVial[]): number[] {
  return group.flatMap(({ fit }) =>
    fit.halfTimeS !== null && fit.halfTimeS.censored === 'none' ? [fit.halfTimeS.value] : [],
  );
}

function positivesApart(vials: readonly JudgedVial[]): string | null {
  for (const group of replicatePositives(vials)) {
    const times = halfTimes(group);
    if (times.length < 2) continue;
    const fastest = Math.min(...times);
    const slowest = Math.max(...times);
    if (slowest > halfTimeFactor * fastest) {
      return `Like positive references (${listText(group.map(({ vial }) => vial.region))}) turned at different speeds: half-times ${durationText(fastest)} and ${durationText(slowest)}.`;
    }
  }
  return null;
}
