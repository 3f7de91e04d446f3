import type { ModelName } from '../model/fit.ts';
import type { Result, ResultRatio, ResultSample, ResultVial } from '../model/result.ts';
import { ratioWords } from './charts/ratio-chart.ts';
import { clipLabel } from './clip-label.ts';

/** From this extent on a reaction is said to go all the way (chosen: what is left can hardly be seen by eye). */
const allTheWay = 0.9;

/** How a vial went, in words of the README's kinds of result; the model's own name stands with its curve. */
const courses: Readonly<Record<ModelName, string>> = {
  none: 'no change',
  'zero-order': 'slow and straight',
  'first-order': 'from the start',
  'first-order-induction': 'delayed',
  'burst-background': 'burst, then slow',
  consecutive: 'delayed',
  sigmoid: 'delayed',
  'second-order': 'from the start',
};

/**
 * How a sample's vials went: `burst, then slow`, `delayed, all the way`; where replicates went differently, each with its
 * vials. Empty where no vial has a model.
 */
export function courseWords(sample: ResultSample, result: Result): string {
  const regionsOf = new Map<string, string[]>();
  for (const vial of result.vials) {
    const course = sample.regions.includes(vial.region) ? courseOf(vial) : null;
    if (course !== null) regionsOf.set(course, [...(regionsOf.get(course) ?? []), vial.region]);
  }
  const several = regionsOf.size > 1;
  return [...regionsOf].map(([course, regions]) => (several ? `${regions.join(' ')} ${course}` : course)).join('; ');
}

function courseOf({ fit, extent }: ResultVial): string | null {
  if (fit.model === null) return null;
  const full = (extent.last ?? extent.at_read)?.value ?? 0;
  const mayEnd = fit.model !== 'none' && fit.model !== 'burst-background';
  if (mayEnd && full >= allTheWay) return `${courses[fit.model]}, all the way`;
  // what it runs on is used up before the reagent is
  const most = fit.amplitude?.ci95[1] ?? null;
  const endsEarly = fit.model === 'first-order' && most !== null && most < allTheWay;
  return endsEarly ? 'part of the way, then level' : courses[fit.model];
}

/**
 * A sample's rate beside that of the reference nearest to it: `rate 1.03 to 1.16 × 1-butanol` (95 % interval).
 * Empty without a ratio bounded on both sides.
 */
export function nearestRateWords(sample: ResultSample, result: Result): string {
  const bounded = sample.against.flatMap(({ reference, rate_ratio: ratio }) =>
    ratio !== null && isBounded(ratio) ? [{ reference, ratio }] : [],
  );
  const distance = ({ ratio }: { readonly ratio: ResultRatio }): number => Math.abs(Math.log(ratio.value));
  const [nearest] = [...bounded].sort((first, second) => distance(first) - distance(second));
  if (nearest === undefined) return '';
  const label = result.vials.find(({ region }) => region === nearest.reference)?.label ?? nearest.reference;
  return `rate ${ratioWords(nearest.ratio)} × ${clipLabel(label, 24)}`;
}

function isBounded({ value, bounded, ci95: [lower, upper] }: ResultRatio): boolean {
  return bounded && value > 0 && lower !== null && upper !== null;
}
