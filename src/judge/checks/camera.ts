import type { Check } from '../situation.ts';
import { numberText } from '../text.ts';
import { notesOfFamily, worst } from './notes.ts';

/** Movement that regions follow without loss; chosen: synthetic nudges of 3 to 8 px are followed, more leaves the margin that is decoded. */
const largeShiftPx = 8;

/** Whether the camera stayed where it was, as far as still parts of the picture show. */
export const camera: Check = ({ input }) => {
  const code = 'camera';
  const { dx, dy } = input.measurement.motion;
  const shifts = dx.flatMap((x, i) => {
    const y = dy[i];
    return x === null || y === null || y === undefined ? [] : [Math.hypot(x, y)];
  });
  const notes = notesOfFamily(input.measurement, 'camera');
  const said = notes.map(({ message }) => message);
  if (shifts.length === 0) {
    return [
      {
        code,
        status: worst('warn', notes),
        message: ['Movement of the camera could not be followed.', ...said].join(' '),
      },
    ];
  }
  const largest = Math.max(...shifts);
  const status = worst(largest > largeShiftPx ? 'warn' : 'pass', notes);
  const message =
    largest < 0.5
      ? 'The camera did not move.'
      : `The picture moved by up to ${numberText(largest)} pixels; the regions followed.`;
  return [{ code, status, message: [message, ...said].join(' ') }];
};
