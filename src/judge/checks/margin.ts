import type { ResultCheck } from '../../model/result.ts';
import { smallestMargin } from '../attainable-margin.ts';
import { unpinnedScale } from '../judge-samples.ts';
import type { JudgedSample } from '../judge-samples.ts';
import type { Situation } from '../situation.ts';
import { extentText } from '../text.ts';

/** Whether the errors of this run let any sample be shown to stay below the margin. */
export function marginMet(situation: Situation, samples: readonly JudgedSample[]): readonly ResultCheck[] {
  const code = 'margin';
  const scale = situation.input.path.pinnedEnd ? 1 : unpinnedScale;
  const smallest = samples.flatMap(({ difference }) =>
    difference === null ? [] : [smallestMargin(situation, difference) * scale],
  );
  if (smallest.length === 0) return [];
  const margin = situation.margin.value;
  const missed = smallest.filter((value) => value >= margin).length;
  return missed === 0
    ? [
        {
          code,
          status: 'pass',
          message: `The errors of this run allow a margin of ${extentText(margin)} (smallest that could be met: ${extentText(Math.max(...smallest))}).`,
        },
      ]
    : [
        {
          code,
          status: 'warn',
          message: `The margin ${extentText(margin)} cannot be met for ${missed} of ${smallest.length} samples: their errors alone come to ${extentText(Math.max(...smallest))}.`,
        },
      ];
}
