import { driftOfMixture } from '../mixture.ts';
import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';

/** Mixtures must stay constant to calibrate the path. */
export const mixtures: Check = ({ vials }) => {
  const code = 'mixtures-constant';
  const all = vials.filter(({ vial }) => vial.role === 'mixture');
  if (all.length === 0) return [];
  const moving = all.filter((judged) => driftOfMixture(judged)?.constant === false);
  return moving.length === 0
    ? [{ code, status: 'pass', message: 'The mixtures stayed constant.' }]
    : [
        {
          code,
          status: 'fail',
          message: `${regionsText(moving)}: a mixture that does not stay constant cannot calibrate the colour path.`,
        },
      ];
};
