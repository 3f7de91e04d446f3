import type { Check } from '../situation.ts';
import { listText, numberText } from '../text.ts';
import { fastPart, fewestFastFrames } from '../vial-signs.ts';

/** Whether there are frames enough where curves are steep. */
export const fastPartSeen: Check = ({ vials }) => {
  const code = 'fast-part';
  const moved = vials.flatMap((judged) => {
    const fast = fastPart(judged);
    return fast === null ? [] : [{ region: judged.vial.region, ...fast }];
  });
  const few = moved.filter(({ frames }) => frames < fewestFastFrames);
  if (few.length === 0) {
    const message = moved.length === 0 ? 'No vial changed fast.' : 'Every change was seen in enough frames.';
    return [{ code, status: 'pass', message }];
  }
  const before = few.filter(({ beforeFilm }) => beforeFilm);
  const within = few.filter(({ beforeFilm }) => !beforeFilm);
  const advice = [
    ...(within.length === 0
      ? []
      : [
          `A frame every ${numberText(Math.min(...within.map(({ betterIntervalS }) => betterIntervalS)))} s or less would show it.`,
        ]),
    ...(before.length === 0
      ? []
      : [`Of ${listText(before.map(({ region }) => region))} it began before the film: film from before dosing.`]),
  ];
  const message = `Too few frames show the fast part of ${listText(few.map(({ region }) => region))}: rates are doubtful. ${advice.join(' ')}`;
  return [{ code, status: 'warn', message }];
};
