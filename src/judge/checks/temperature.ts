import { chromiumActivation, summariseTemperature } from '../temperature.ts';
import { arrheniusFactor } from '../temperature.ts';
import type { Check } from '../situation.ts';
import { percentText } from '../text.ts';

/** Change of rate over the run from temperature alone that is worth a warning; chosen. */
const largeChange = 0.15;

/** Whether the temperature held still enough for one rate constant to describe the run; nothing without a probe. */
export const temperature: Check = ({ input }) => {
  const times = input.measurement.frames.timeRunS;
  const summary =
    input.temperature === null || times.length === 0
      ? null
      : summariseTemperature(input.temperature, times[0]!, times.at(-1)!);
  if (summary === null) return [];
  const code = 'temperature';
  const change = arrheniusFactor(summary.lowestC, summary.highestC, chromiumActivation).value - 1;
  const range = `${summary.lowestC.toFixed(1)} to ${summary.highestC.toFixed(1)} \u00b0C`;
  return change > largeChange
    ? [
        {
          code,
          status: 'warn',
          message: `The temperature went from ${range}: rates changed by about ${percentText(change)} over the run from that alone.`,
        },
      ]
    : [{ code, status: 'pass', message: `The temperature stayed at ${range}.` }];
};
