import type { Check } from '../situation.ts';
import type { MeasurementNote } from '../../model/measurement.ts';
import { durationText, listText, numberText } from '../text.ts';
import { notesOfFamily, worst } from './notes.ts';

/** Movement that regions follow without loss; chosen: synthetic nudges of 3 to 8 px are followed, more leaves the margin that is decoded. */
const largeShiftPx = 8;

/** Jumps named at most. */
const mostNamed = 4;

/** Whether the camera stayed where it was, as far as still parts of the picture show; jumps with their times and sizes. */
export const camera: Check = ({ input }) => {
  const code = 'camera';
  const { measurement } = input;
  const { dx, dy } = measurement.motion;
  const shifts = dx.flatMap((x, i) => {
    const y = dy[i];
    return x === null || y === null || y === undefined ? [] : [Math.hypot(x, y)];
  });
  const notes = notesOfFamily(measurement, 'camera');
  const said = [...told(measurement.notes), ...notes.map(withTime)];
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
      ? notes.some(({ code }) => code === 'camera-lost')
        ? 'The camera did not move while it could be followed.'
        : 'The camera did not move.'
      : `The picture moved by up to ${numberText(largest)} pixels; the regions followed.`;
  return [{ code, status, message: [message, ...said].join(' ') }];
};

/** Large jumps and what could not be followed are told with their time. */
function withTime({ code, message, fromRunS, toRunS }: MeasurementNote): string {
  if (code === 'camera-moved' && toRunS !== null)
    return message.replace(/\.$/, ` (at ${durationText(toRunS)} of the run\u2019s clock).`);
  if (code !== 'camera-lost' || fromRunS === null || toRunS === null) return message;
  const when =
    fromRunS === toRunS ? `At ${durationText(fromRunS)}` : `From ${durationText(fromRunS)} to ${durationText(toRunS)}`;
  return `${when} of the run\u2019s clock ${message}`;
}

/** Jumps, breathing and a rig that was shifted beforehand, as far as they are for information only. */
function told(notes: readonly MeasurementNote[]): string[] {
  const infos = notes.filter(({ severity }) => severity === 'info');
  const jumps = infos.filter(({ code }) => code === 'camera-moved');
  const named = jumps.slice(0, mostNamed).map(({ message, toRunS }) => {
    const size = /[\d.]+ px/.exec(message)?.[0] ?? '';
    return `${size} at ${durationText(toRunS ?? 0)}`;
  });
  const more = jumps.length > mostNamed ? [`${jumps.length - mostNamed} more`] : [];
  return [
    ...infos.filter(({ code }) => code === 'rig-camera-shifted').map(({ message }) => message),
    ...(jumps.length === 0 ? [] : [`It jumped: ${listText([...named, ...more])} of the run\u2019s clock.`]),
    ...infos.filter(({ code }) => code === 'focus-breathing').map(({ message }) => message),
  ];
}
