import type { Plan } from '../../plan/plan.ts';
import { duration, short } from '../../plan/words.ts';

/** One line of facts under the title. */
export function sheetFacts(plan: Plan): string {
  return [
    `${plan.vials.length} vials`,
    `film ${duration(plan.durationS)}, a frame every ${duration(plan.intervalS)}`,
    `read ${duration(plan.readAtS)} after each dose (declared)`,
    `margin ${short(plan.margin)} in extent, risk ${short(plan.alpha * 100)} %`,
    `places by seed "${plan.seed}"`,
  ].join(' · ');
}

export const roleMarks =
  'bla: blank; neg: known clean, must stay orange; pos: must turn green; sta: spiked standard. Write only the code on the vial.';

/** Over the pipetting table. */
export const dosingTitle = ({ reagentMl }: Plan): string =>
  `Samples first; then ${reagentMl} mL of reagent into each vial, in this order, at these times (min:s)`;

export const recipeLine = ({ recipe }: Plan): string => `Reagent: ${recipe}.`;
