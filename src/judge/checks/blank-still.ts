import { blanksAgainstStart } from '../controls.ts';
import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';
import { extentText } from '../text.ts';

/** The blank holds nothing that could react: if it moves, the light, the camera or the reagent did. */
export const blankStill: Check = (situation) => {
  const code = 'blank-still';
  const { vials, margin } = situation;
  if (!vials.some(({ vial }) => vial.role === 'blank')) {
    return [
      {
        code,
        status: 'warn',
        message:
          'No blank is in the rack: a drift of light or reagent would look like reaction of the negative references.',
      },
    ];
  }
  const found = blanksAgainstStart(situation);
  if (found.length === 0) {
    return [{ code, status: 'warn', message: 'The blank could not be read at the reading time.' }];
  }
  const limit = extentText(margin.value);
  const turned = found.filter(({ state }) => state === 'turned').map(({ judged }) => judged);
  if (turned.length > 0) {
    return [
      {
        code,
        status: 'fail',
        message: `The blank (${regionsText(turned)}) drifted by more than the margin ${limit} up to the reading time, though it holds nothing to react.`,
      },
    ];
  }
  const doubtful = found.filter(({ state }) => state === 'doubtful').map(({ judged }) => judged);
  if (doubtful.length > 0) {
    return [
      {
        code,
        status: 'warn',
        message: `The blank (${regionsText(doubtful)}) drifted by about the margin ${limit} up to the reading time.`,
      },
    ];
  }
  return [{ code, status: 'pass', message: `The blank stayed within the margin ${limit} of its beginning.` }];
};
