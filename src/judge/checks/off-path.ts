import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';
import { leftOutAsReferences } from './left-out.ts';
import { offPathShare, shareOffPath } from '../vial-signs.ts';

/** Colours that no mixture of start and end colour has: bubbles, precipitate, coloured samples. */
export const offPath: Check = ({ vials }) => {
  const code = 'off-path';
  const off = vials.filter(
    (judged) =>
      judged.series.strange === true || shareOffPath(judged) > offPathShare || judged.trouble?.code === 'off-path',
  );
  return off.length === 0
    ? [{ code, status: 'pass', message: 'All vials keep to the colours of the reaction.' }]
    : [
        {
          code,
          status: 'warn',
          message: `${regionsText(off)}: colours off those of the reaction in many frames, or at the reading time (bubbles, precipitate, drying, a coloured sample); look at the pictures.${leftOutAsReferences(off)}`,
        },
      ];
};
