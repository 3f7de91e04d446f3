import type { Check } from '../situation.ts';
import { extentText, numberText } from '../text.ts';

/** Whether the run, or the rig's history, shows how much still vials differ. */
export const spreadKnown: Check = ({ singleNegative, spreadAssumed, pooled, usedSpread }) => {
  const code = 'between-vial-spread';
  if (singleNegative) {
    const how = spreadAssumed
      ? `a spread of ${extentText(usedSpread.value)} was assumed when asking whether samples reacted`
      : 'replicate samples show some';
    return [
      {
        code,
        status: 'warn',
        message: `One negative reference at most and no history show no spread between vials: nothing can be said to have resisted (${how}). Use three or four negative references.`,
      },
    ];
  }
  if (pooled.historyRefused !== null) {
    return [
      {
        code,
        status: 'warn',
        message: `The spread between vials was taken from this run alone: ${pooled.historyRefused}.`,
      },
    ];
  }
  return [
    {
      code,
      status: 'pass',
      message: `Spread between still vials ${extentText(usedSpread.value)} in extent, ${numberText(usedSpread.df, 3)} ${usedSpread.df === 1 ? 'degree' : 'degrees'} of freedom (${usedSpread.source}).`,
    },
  ];
};
