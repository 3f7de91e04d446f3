import type { CameraSettings } from '../model/frame.ts';
import type { MeasurementNote, RegionColours } from '../model/measurement.ts';
import { channels, luminanceWeights } from './channels.ts';
import { medianOfAll } from '../numeric/median.ts';

/** A gap counts when it is this many times the typical one; chosen, as for the check of frames. */
const gapFactor = 5;
/** Frames compared on either side. Chosen. */
const reach = 3;
/** Change of level or of one channel against another that is told, relative. Chosen: above what a lamp drifts in a few frames. */
const smallestChange = 0.02;

export interface GapFindings {
  readonly timeRunS: readonly number[];
  /** As read: patches, or without any the pieces of background, or else the vials. */
  readonly regions: readonly RegionColours[];
  /** What they are, in words: `the neutral patches`. */
  readonly who: string;
  /** Whether the change is divided out. */
  readonly corrected: boolean;
  readonly settings: readonly (CameraSettings | null)[];
}

/** Compares the camera's settings, as written and as the picture shows them, before and after every gap in time (power cut, full card, dark stretch). */
export function describeGaps({ timeRunS, regions, who, corrected, settings }: GapFindings): MeasurementNote[] {
  const steps = timeRunS.slice(1).map((time, index) => time - timeRunS[index]!);
  const typical = medianOfAll(steps);
  return steps.flatMap((gap, index): MeasurementNote[] => {
    if (gap <= gapFactor * typical) return [];
    const written = writtenChanges(settings[index] ?? null, settings[index + 1] ?? null);
    const seen = seenChange(regions, index + 1);
    const changed = seen !== null && Math.max(...seen.map(Math.abs)) > smallestChange;
    if (written.length === 0 && !changed) return [];
    const parts = [
      ...(written.length === 0 ? [] : [`the camera's ${written.join(', ')}`]),
      ...(changed ? [`${who} by ${shown(seen)}`] : []),
    ];
    return [
      {
        code: 'settings-after-gap',
        severity: corrected && written.length === 0 ? 'info' : 'warn',
        message: `Before and after the gap these differ: ${parts.join('; ')}. ${corrected ? 'The light was followed across it by its level before.' : 'Nothing steady in the picture tells what of it is light.'}`,
        fromRunS: timeRunS[index]!,
        toRunS: timeRunS[index + 1]!,
        region: null,
      },
    ];
  });
}

const words = {
  exposureTimeS: 'exposure time',
  iso: 'ISO',
  fNumber: 'aperture',
  exposureMode: 'exposure mode',
  whiteBalance: 'white balance',
} as const;

function writtenChanges(before: CameraSettings | null, after: CameraSettings | null): string[] {
  return (Object.keys(words) as (keyof typeof words)[]).flatMap((key) => {
    const [from, to] = [before?.[key] ?? null, after?.[key] ?? null];
    return from === null || to === null || from === to ? [] : [`${words[key]} (${from} to ${to})`];
  });
}

/** Median log change of red, green and blue over the regions across a gap that ends at `frame`; `null` where nothing is known. */
function seenChange(regions: readonly RegionColours[], frame: number): number[] | null {
  const changes = channels.map((channel) =>
    medianOfAll(
      regions.flatMap((region) => {
        const level = (from: number, to: number): number =>
          medianOfAll(
            region[channel].slice(Math.max(0, from), to).filter((value) => value !== null && value > 0) as number[],
          );
        const change = Math.log(level(frame, frame + reach) / level(frame - reach, frame));
        return Number.isFinite(change) ? [change] : [];
      }),
    ),
  );
  return changes.every(Number.isFinite) ? changes : null;
}

function shown(changes: readonly number[]): string {
  const percent = (value: number): string =>
    `${value >= 0 ? '+' : '-'}${Math.abs(100 * Math.expm1(value)).toFixed(1)} %`;
  const level = channels.reduce((sum, channel, index) => sum + luminanceWeights[channel] * changes[index]!, 0);
  return `${percent(level)} in level, ${percent(changes[0]! - changes[2]!)} in red against blue`;
}
