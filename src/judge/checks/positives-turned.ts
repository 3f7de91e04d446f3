import { hasTurned } from '../controls.ts';
import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';
import { durationText } from '../text.ts';

/** Every positive reference must have turned by the reading time: else the reagent or the run is dead. */
export const positivesTurned: Check = ({ vials, readingTime }) => {
  const code = 'positives-turned';
  const at = durationText(readingTime.readAtS);
  const positives = vials.filter(({ vial }) => vial.role === 'positive');
  if (positives.length === 0) {
    return [
      {
        code,
        status: 'warn',
        message: 'No positive reference is in the rack: nothing shows how fast the reagent turns what must react.',
      },
    ];
  }
  const dead = positives.filter((judged) => hasTurned(judged, readingTime.readAtS) === false);
  const unread = positives.filter((judged) => hasTurned(judged, readingTime.readAtS) === null);
  if (dead.length > 0) {
    return [
      {
        code,
        status: 'fail',
        message: `${regionsText(dead)}, which must react, had not turned by ${at} after dosing: the reagent is weak, or the run too short or too cold.`,
      },
    ];
  }
  if (unread.length === positives.length) {
    return [
      {
        code,
        status: 'fail',
        message: `No positive reference could be read ${at} after dosing, so nothing shows that the reagent works.`,
      },
    ];
  }
  if (unread.length > 0) {
    return [
      {
        code,
        status: 'warn',
        message: `${regionsText(unread)} could not be read ${at} after dosing; the other positive references had turned.`,
      },
    ];
  }
  return [
    {
      code,
      status: 'pass',
      message: `All positive references (${regionsText(positives)}) had turned by ${at} after dosing.`,
    },
  ];
};
