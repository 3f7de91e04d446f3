import type { MeasurementNote, RegionColours } from '../model/measurement.ts';
import { channels, clippedOf } from './channels.ts';
import { medianOfAll } from '../numeric/median.ts';

/** A neutral patch or background piece with the frames in which it may be believed. */
export interface Reference {
  readonly region: RegionColours;
  readonly usable: readonly boolean[];
}

/** Share of clipped samples in any channel from which a reading is not believed. Chosen: what is cut no longer says how bright it was; 2 % leaves room for specks. */
const clippedLimit = 0.02;
/** Linear level below which a patch is too dark: one 8-bit step would be 2 % of it. Chosen. */
const darkest = 0.02;
/** Share of frames a patch must be usable in to be used at all. Chosen. */
const fewestFrames = 0.5;

/** Sorts out patches that are clipped, too dark or missing, and says so. */
export function usableReferences(
  patches: readonly RegionColours[],
  timeRunS: readonly number[],
): { readonly references: Reference[]; readonly notes: MeasurementNote[] } {
  const references: Reference[] = [];
  const notes: MeasurementNote[] = [];
  for (const region of patches) {
    const clipped = timeRunS.map((_, frame) =>
      channels.some((channel) => (clippedOf(region, channel)[frame] ?? 0) > clippedLimit),
    );
    const missing = timeRunS.map((_, frame) => channels.some((channel) => (region[channel][frame] ?? null) === null));
    const dark = timeRunS.map((_, frame) => channels.some((channel) => (region[channel][frame] ?? darkest) < darkest));
    const level = medianOfAll(timeRunS.flatMap((_, frame) => (missing[frame] ? [] : [region.green[frame]!])));
    const usable = timeRunS.map((_, frame) => !clipped[frame]! && !missing[frame]! && !dark[frame]!);
    const share = usable.filter(Boolean).length / Math.max(1, usable.length);
    const tell = (code: string, flags: readonly boolean[], message: string): void => {
      const frames = flags.flatMap((flag, frame) => (flag ? [frame] : []));
      if (frames.length === 0) return;
      notes.push({
        code,
        severity: share < fewestFrames ? 'fail' : 'warn',
        message: `${message} in ${frames.length} of ${flags.length} frames${share < fewestFrames ? ': the patch is not used' : ''}.`,
        fromRunS: timeRunS[frames[0]!]!,
        toRunS: timeRunS[frames.at(-1)!]!,
        region: region.id,
      });
    };
    tell('patch-clipped', clipped, `Neutral patch ${region.id} is overexposed (or black) in a channel`);
    tell('patch-missing', missing, `Neutral patch ${region.id} could not be read`);
    tell('patch-dark', dark, `Neutral patch ${region.id} is too dark (linear ${level.toFixed(3)} of full scale)`);
    if (share >= fewestFrames) references.push({ region, usable });
  }
  return { references, notes };
}
