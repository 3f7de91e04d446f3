import { mean } from '../numeric/mean.ts';
import type { Channel } from './channels.ts';
import { medianOfAll } from '../numeric/median.ts';
import { robustSd } from '../numeric/robust-sd.ts';
import type { Reference } from './usable-references.ts';

/** What several references share in one channel, in natural logarithms. */
export interface CommonGain {
  /** Change of the light against the first frames, by frame; `null` where no reference was usable. */
  readonly gain: readonly (number | null)[];
  /** Level of each reference at gain 0, log of linear light. */
  readonly levels: readonly number[];
  /** What each reference shows beside the common gain, by reference and frame. */
  readonly residuals: readonly (readonly (number | null)[])[];
  /** Robust scatter of the residuals over references and frames; `null` with one reference only. */
  readonly disagreement: number | null;
}

/** Frames at the beginning whose median is gain 1. Chosen: enough to average the noise of a frame, few enough to be "the beginning" of any run. It is a common scale only. */
const firstFrames = 9;

/**
 * Splits log light of the references into a level each and a gain each frame (additive two-way fit by alternating medians and means),
 * so that a reference missing in some frames does not make a step.
 */
export function commonGain(references: readonly Reference[], channel: Channel, frames: number): CommonGain {
  const logs = references.map(({ region, usable }) =>
    Array.from({ length: frames }, (_, frame) => (usable[frame] === true ? Math.log(region[channel][frame]!) : null)),
  );
  let levels = logs.map((series) => medianOfAll(series.filter((value) => value !== null)));
  let gain: (number | null)[] = [];
  for (let round = 0; round < 12; round += 1) {
    gain = Array.from({ length: frames }, (_, frame) => {
      const shown = logs.flatMap((series, index) => (series[frame] === null ? [] : [series[frame]! - levels[index]!]));
      if (shown.length === 0) return null;
      return shown.length > 2 ? medianOfAll(shown) : mean(shown);
    });
    levels = logs.map((series) =>
      medianOfAll(
        series.flatMap((value, frame) => (value === null || gain[frame] === null ? [] : [value - gain[frame]!])),
      ),
    );
  }
  const start = medianOfAll(gain.filter((value) => value !== null).slice(0, firstFrames));
  const normal = gain.map((value) => (value === null ? null : value - start));
  const raw = logs.map((series, index) =>
    series.map((value, frame) =>
      value === null || normal[frame] === null ? null : value - normal[frame]! - levels[index]! - start,
    ),
  );
  // Each reference's own residual starts at 0 too: what differs over the frame is counted from the same first frames.
  const offsets = raw.map((series) => medianOfAll(series.filter((value) => value !== null).slice(0, firstFrames)));
  const finalLevels = levels.map((level, index) => level + start + offsets[index]!);
  const residuals = raw.map((series, index) =>
    series.map((value) => (value === null ? null : value - offsets[index]!)),
  );
  const flat = residuals.flat().filter((value) => value !== null);
  return {
    gain: normal,
    levels: finalLevels,
    residuals,
    disagreement: references.length < 2 ? null : robustSd(flat),
  };
}
