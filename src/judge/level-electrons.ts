import type { Quantity } from '../model/run.ts';
import type { ResultLevel } from '../model/result.ts';
import { interpolate } from '../numeric/interpolate.ts';
import { normalQuantile } from '../numeric/normal.ts';
import { coderError } from './coder-error.ts';
import { singleCritical } from './critical-values.ts';
import type { JudgedSample } from './judge-samples.ts';
import { pathSe } from './estimates.ts';
import { quickPart } from './quick-part.ts';
import { mean } from '../numeric/mean.ts';
import type { Situation } from './situation.ts';
import { numberText } from './text.ts';
import { halfWidth } from './variance-parts.ts';
import { usedUpExtent } from './calibration.ts';

/** Electrons a molecule gives: 1-butanol (to butanoic acid) and 2-butanol (to butanone). */
const electronRange = [4, 2] as const;

/**
 * Reducing impurity from the balance of electrons: (burst less the negatives' burst) x mol reagent x electrons each, per mol of sample, in
 * micro-equivalents. Called apparent, because intermediate chromium also oxidises the bulk. A burst still under way gives a lower bound,
 * and so does one that used up the reagent. `null` where amounts or curves do not tell.
 */
export function levelByElectrons(situation: Situation, sample: JudgedSample): ResultLevel | null {
  const { electronsPerReagent, amounts, run } = situation.input;
  const perExtent = equivalentsPerExtent(
    sample.members.map(({ index }) => amounts[index]),
    electronsPerReagent,
  );
  if (perExtent === null) return null;
  const bursts = sample.members.map(quickPart);
  const known = bursts.filter((burst) => burst !== null);
  if (known.length < bursts.length) return null;
  // A negative whose slow reaction only looks like the start of a first-order curve has shown no burst.
  const base = situation.negatives.map(quickPart).map((burst) => (burst?.complete === true ? burst.value : 0));
  const d = sample.difference!;
  const complete = known.every((burst) => burst.complete);
  const centre = mean(known.map(({ value }) => value));
  const fitted = Math.sqrt(known.reduce((sum, { se }) => sum + se ** 2, 0)) / known.length;
  // Before the plateau the extent reached so far is what is certain.
  const extent = complete ? centre - mean(base) : d.value;
  const { path } = situation.input;
  const pathVariance = (at: number): number =>
    pathSe(path.draws.map((draw) => interpolate(path.extent, draw, at))) ** 2;
  const n = sample.members.length;
  const coderVariance = (at: number): number =>
    sample.members.reduce((sum, { vial }) => sum + coderError(situation.input, vial, at) ** 2, 0) / n ** 2;
  const zeroParts = [...d.vialParts, { variance: d.lightSe ** 2, df: Infinity }];
  const partsAt = (at: number): typeof zeroParts => [
    ...zeroParts,
    { variance: pathVariance(at) + coderVariance(at) + (complete ? fitted ** 2 : 0), df: Infinity },
  ];
  const parts = partsAt(extent);
  const oneSided = (some: typeof parts): number => halfWidth(some, (df) => singleCritical(run.alpha, df));
  const critical = oneSided(zeroParts);
  const half = halfWidth(parts, (df) => singleCritical(0.025, df));
  const relative = perExtent.u === null ? 0 : perExtent.u / perExtent.value;
  const toLevel = (value: number): number => value * perExtent.value;
  const common = { limit: toLevel(2 * critical), electrons: electronRange, basis: 'electrons' } as const;
  if (extent <= critical) {
    return { ...common, as: asText(common.limit), value: null, ci95: [null, null], only_more_than: false };
  }
  const reached = mean(sample.members.map(({ last, atRead }) => (last ?? atRead!).value));
  if (!complete || Math.max(reached, extent + half) >= usedUpExtent) {
    // No more can be used up than was seen to be: a fitted amplitude may lie above what the curve reached, even above 1.
    const certain = Math.min(extent, reached);
    const least = toLevel(Math.max(certain - oneSided(partsAt(certain)), 0)) * (1 - normalQuantile(0.95) * relative);
    const value = Math.max(least, 0);
    return { ...common, as: asText(value), value, ci95: [value, null], only_more_than: true };
  }
  const value = toLevel(extent);
  const spread = Math.hypot(toLevel(half), normalQuantile(0.975) * relative * value);
  return {
    ...common,
    as: asText(value),
    value,
    ci95: [Math.max(value - spread, 0), value + spread],
    only_more_than: false,
  };
}

/** Micro-equivalents per mol of sample that one whole unit of extent stands for. */
function equivalentsPerExtent(
  amounts: readonly ({ readonly reagentMol: Quantity | null; readonly sampleMol: Quantity | null } | undefined)[],
  electrons: number | null,
): Quantity | null {
  const ratios = amounts.flatMap((entry) => {
    if (entry === undefined || entry.reagentMol === null || entry.sampleMol === null || electrons === null) return [];
    if (!(entry.sampleMol.value > 0)) return [];
    const value = (1e6 * electrons * entry.reagentMol.value) / entry.sampleMol.value;
    const relative = Math.hypot(
      (entry.reagentMol.u ?? 0) / entry.reagentMol.value,
      (entry.sampleMol.u ?? 0) / entry.sampleMol.value,
    );
    return [{ value, u: value * relative }];
  });
  if (ratios.length === 0 || ratios.length < amounts.length) return null;
  // The same pipette and recipe made all replicates: their uncertainty does not average out.
  return { value: mean(ratios.map(({ value }) => value)), u: mean(ratios.map(({ u }) => u)) };
}

/** What the number is, and the same amount as single substances. */
function asText(value: number): string {
  const unit = 'micro-equivalents per mol of sample (apparent)';
  const [primary, secondary] = electronRange.map((electrons) => numberText(value / electrons / 1e4));
  return `${unit}; as 1-butanol (4 electrons) ${primary} mol %, as 2-butanol (2 electrons) ${secondary} mol %`;
}
