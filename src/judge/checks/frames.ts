import type { Check } from '../situation.ts';
import { countText, durationText, numberText, percentText } from '../text.ts';
import { notesOfFamily, worst } from './notes.ts';

/** Shares of rejected frames that are worth a warning, and that make the run doubtful; chosen. */
const manyRejected = 0.05;
const mostRejected = 0.5;
/** A gap counts when it is this many times the typical one and this share of the run; chosen. */
const gapFactor = 5;
const gapShare = 0.01;

/** Rejected frames and gaps in time. */
export const frames: Check = ({ input, typicalGapS }) => {
  const code = 'frames';
  const { measurement } = input;
  const notes = notesOfFamily(measurement, 'frames');
  const times = measurement.frames.timeRunS;
  const rejected = measurement.rejected.length;
  const share = measurement.framesRead === 0 ? 0 : rejected / measurement.framesRead;
  const durationS = (times.at(-1) ?? 0) - (times[0] ?? 0);
  const gaps = times.slice(1).flatMap((time, i) => {
    const gap = time - times[i]!;
    return gap > gapFactor * typicalGapS && gap > gapShare * durationS ? [{ from: times[i]!, gap }] : [];
  });
  const said = [
    rejected === 0
      ? `All ${countText(times.length, 'frame')} were used.`
      : `${countText(rejected, 'frame')} of ${measurement.framesRead} (${percentText(share)}) were rejected.`,
    ...gaps.map(
      ({ from, gap }) => `No frame for ${durationText(gap)} from ${numberText(from, 5)} s of the run's clock on.`,
    ),
    ...measurement.notes
      .filter(({ code, severity }) => code === 'settings-after-gap' && severity === 'info')
      .map(({ message }) => message),
    ...notes.map(({ message }) => message),
  ];
  const status = share > mostRejected ? 'fail' : share > manyRejected || gaps.length > 0 ? 'warn' : 'pass';
  return [{ code, status: worst(status, notes), message: said.join(' ') }];
};
