import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';
import { clippedShare, shareClipped } from '../vial-signs.ts';

/** Channels at their limits carry no information. */
export const clipped: Check = (situation) => {
  const code = 'clipped';
  const bad = situation.vials.filter((judged) => shareClipped(situation, judged) > clippedShare);
  return bad.length === 0
    ? [{ code, status: 'pass', message: 'In no vial are two colour channels at their limits.' }]
    : [
        {
          code,
          status: 'warn',
          message: `In ${regionsText(bad)} two colour channels are at their limits in many frames: change exposure or light.`,
        },
      ];
};
