import { negativesAgainstBlank } from '../controls.ts';
import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';
import { durationText, extentText } from '../text.ts';

/** No negative reference may exceed the blank by more than the margin: else it is no yardstick. */
export const negativesStill: Check = (situation) => {
  const code = 'negatives-still';
  const { vials, readingTime, margin, blanks } = situation;
  const at = `${durationText(readingTime.readAtS)} after dosing`;
  if (!vials.some(({ vial }) => vial.role === 'negative')) {
    return [
      {
        code,
        status: 'warn',
        message: 'No negative reference is in the rack: samples have no yardstick and stay undecided.',
      },
    ];
  }
  const found = negativesAgainstBlank(situation);
  if (found.length === 0) {
    return [
      {
        code,
        status: 'warn',
        message: `No negative reference could be read ${at}: samples have no yardstick and stay undecided.`,
      },
    ];
  }
  const yardstick = blanks.length === 0 ? 'extent 0 (there is no blank)' : 'the blank';
  const limit = extentText(margin.value);
  const of = (state: string): string =>
    regionsText(found.filter((entry) => entry.state === state).map(({ judged }) => judged));
  const turned = of('turned');
  if (turned !== '') {
    return [
      {
        code,
        status: 'fail',
        message: `${turned}, which must not react, exceeded ${yardstick}, ${at}, by more than the margin ${limit}.`,
      },
    ];
  }
  const doubtful = of('doubtful');
  if (doubtful !== '') {
    return [
      {
        code,
        status: 'warn',
        message: `${doubtful} lay just above the margin ${limit} against ${yardstick} ${at}, within its error.`,
      },
    ];
  }
  const most = Math.max(...found.map(({ excess }) => excess));
  return [
    {
      code,
      status: 'pass',
      message: `All negative references stayed within the margin ${limit} of ${yardstick} ${at} (largest difference ${extentText(most)}).`,
    },
  ];
};
