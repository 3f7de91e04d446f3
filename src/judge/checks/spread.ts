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
        message: `With one negative reference at most and no history of this rig it is not known how much vials differ: nothing can be said to have resisted (${how}). Use three or four negative references.`,
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
      message: `Vials that stand still differ by ${extentText(usedSpread.value)} in extent (standard deviation, ${numberText(usedSpread.df, 3)} ${usedSpread.df === 1 ? 'degree' : 'degrees'} of freedom, from ${usedSpread.source}).`,
    },
  ];
};
