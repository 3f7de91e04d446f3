import { effectOf } from '../events.ts';
import type { Check } from '../situation.ts';
import { durationText } from '../text.ts';

/** Events of the whole rack, which no vial's flag alone would bring to notice. */
export const rackEvents: Check = ({ input }) => {
  const rack = input.run.events.filter(({ region }) => region === null);
  if (rack.length === 0) return [];
  const said = rack.map((event) => {
    const effect = { ends: ' (all curves end there)', breaks: ' (the frames just after are left out)', noted: '' }[
      effectOf(event)
    ];
    return `${event.what} at ${durationText(event.atRunS)}${effect}`;
  });
  return [
    {
      code: 'events',
      status: 'warn',
      message: `Noted for the whole rack, on the run\u2019s clock: ${said.join('; ')}. Look for a step in all curves there.`,
    },
  ];
};
