import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';
import { meniscusFall, sinkingShare } from '../vial-signs.ts';

/** A sinking meniscus: liquid was lost. */
export const evaporation: Check = (situation) => {
  const code = 'evaporation';
  const falls = situation.vials.map((judged) => ({ judged, fall: meniscusFall(situation, judged) }));
  const seen = falls.filter(({ fall }) => fall !== null);
  if (seen.length === 0)
    return [{ code, status: 'pass', message: 'No meniscus was in view, so evaporation was not looked for.' }];
  const sunk = seen.filter(({ fall }) => fall! > sinkingShare).map(({ judged }) => judged);
  return sunk.length === 0
    ? [{ code, status: 'pass', message: 'No meniscus sank.' }]
    : [
        {
          code,
          status: 'warn',
          message: `The meniscus of ${regionsText(sunk)} sank: liquid evaporated or leaked. Close the vials (loosely: gas may form).`,
        },
      ];
};
