import type { Check } from '../situation.ts';
import { durationText } from '../text.ts';

/** Whether a reading time was declared and every vial was watched that long. */
export const readingReached: Check = ({ readingTime, vials }) => {
  const code = 'reading-time';
  const early = vials.filter(({ notRead }) => notRead === 'stopped-early');
  const at = durationText(readingTime.readAtS);
  if (early.length > 0) {
    return [
      {
        code,
        status: 'warn',
        message: `The run stopped before the reading time of ${at} in ${early.length} of ${vials.length} vials; samples among them stay undecided.`,
      },
    ];
  }
  return readingTime.declared
    ? [{ code, status: 'pass', message: `The reading time of ${at} was declared beforehand.` }]
    : [
        {
          code,
          status: 'warn',
          message: `No reading time was declared; the end of the run (${at} after dosing) was used.`,
        },
      ];
};
