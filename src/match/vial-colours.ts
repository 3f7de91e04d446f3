import { ciede2000, linearRgbToLab, type Lab } from '../colour/index.ts';
import { mean } from '../numeric/mean.ts';
import type { Measurement, RegionColours } from '../model/measurement.ts';
import { meanLab } from './distance.ts';

/** Steps of a history. Chosen: fine enough for a change that takes a tenth of the run, few enough to average several frames. */
const historySteps = 24;
/** Fewest pictures of a history; below it only the colours at the reading time are compared. Chosen. */
const fewestFrames = 8;
/** Share of samples at the sensor's limit from which a channel counts as cut off. Chosen. */
const clippedShare = 0.2;

export interface SeenColours {
  readonly final: Lab;
  readonly history: readonly Lab[] | null;
  readonly readingError: number;
  readonly clipped: readonly string[];
}

/**
 * One vial's colour at the reading time and its history since dosing. `scale` multiplies linear light (white of the patch to a common
 * level). With a single picture dosing times are of no account. `null`: the vial cannot be read then.
 */
export function seenColours(
  measurement: Measurement,
  region: RegionColours,
  at: { readonly addedRunS: number; readonly readAtS: number; readonly scale: number },
): SeenColours | null {
  const times = measurement.frames.timeRunS;
  const single = times.length === 1;
  const labs = times.map((_, frame) => labAt(region, frame, at.scale));
  const seen = times.map((_, frame) => frame).filter((frame) => labs[frame] !== null);
  const since = (frame: number): number => (single ? 0 : times[frame]! - at.addedRunS);
  const step = at.readAtS / (historySteps - 1);
  const within = (timeS: number, halfWidthS: number): number[] =>
    seen.filter((frame) => Math.abs(since(frame) - timeS) <= halfWidthS);
  const last = single ? seen : nearestOr(seen, within(at.readAtS, step / 2), at.readAtS, since, step);
  if (last.length === 0) return null;
  const history: (Lab | null)[] | null =
    single || seen.length < fewestFrames
      ? null
      : Array.from({ length: historySteps }, (_, index) => {
          const frames = nearestOr(seen, within(index * step, step / 2), index * step, since, step);
          return frames.length === 0 ? null : meanLab(frames.map((frame) => labs[frame]!));
        });
  return {
    final: meanLab(last.map((frame) => labs[frame]!)),
    history: history === null || history.some((colour) => colour === null) ? null : (history as Lab[]),
    readingError: readingError(region, last, at.scale),
    clipped: (['red', 'green', 'blue'] as const).filter((channel) => {
      const shares = last.map((frame) => region[`${channel}Clipped`][frame] ?? 0);
      return mean(shares) > clippedShare;
    }),
  };
}

/** The frames in a step, or else the nearest one within a step and a half: pictures may be rarer than steps. */
function nearestOr(
  seen: readonly number[],
  frames: number[],
  timeS: number,
  since: (frame: number) => number,
  step: number,
): number[] {
  if (frames.length > 0) return frames;
  const away = (frame: number): number => Math.abs(since(frame) - timeS);
  const nearest = [...seen].sort((first, second) => away(first) - away(second))[0];
  return nearest === undefined || away(nearest) > 1.5 * step ? [] : [nearest];
}

function labAt(region: RegionColours, frame: number, scale: number): Lab | null {
  const linear = [region.red[frame], region.green[frame], region.blue[frame]];
  if (linear.some((value) => value === null || value === undefined)) return null;
  return linearRgbToLab(linear.map((value) => value! * scale) as unknown as Lab);
}

/** Least error of the final colour, CIEDE2000: each channel moved by its standard error in turn. */
function readingError(region: RegionColours, frames: readonly number[], scale: number): number {
  const frame = frames.at(-1)!;
  const channels = ['red', 'green', 'blue'] as const;
  const linear = channels.map((channel) => region[channel][frame]! * scale);
  const centre = linearRgbToLab(linear as unknown as Lab);
  const squares = channels.map((channel, index) => {
    const se = (region[`${channel}Se`][frame] ?? 0) * scale;
    const moved = linear.map((value, at) => (at === index ? value + se : value));
    return ciede2000(centre, linearRgbToLab(moved as unknown as Lab)) ** 2 / frames.length;
  });
  return Math.sqrt(squares.reduce((sum, value) => sum + value, 0));
}
