import { repeatedReason } from '../../model/frame.ts';
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
  const repeats = measurement.rejected.filter(({ reason }) => reason === repeatedReason).length;
  const rejected = measurement.rejected.length - repeats;
  const read = measurement.framesRead - repeats;
  const share = read === 0 ? 0 : rejected / read;
  const durationS = (times.at(-1) ?? 0) - (times[0] ?? 0);
  const gaps = times.slice(1).flatMap((time, i) => {
    const gap = time - times[i]!;
    return gap > gapFactor * typicalGapS && gap > gapShare * durationS ? [{ from: times[i]!, gap }] : [];
  });
  const said = [
    ...(repeats === 0
      ? []
      : [`${countText(repeats, 'frame')} of ${measurement.framesRead} only repeat the one before and do not count.`]),
    rejected === 0
      ? `All ${repeats === 0 ? '' : 'other '}${countText(times.length, 'frame')} were used.`
      : `${countText(rejected, 'frame')} of ${read} (${percentText(share)}) were rejected.`,
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
