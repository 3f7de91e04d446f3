import { mean } from '../numeric/mean.ts';
import type { MeasurementNote, RegionColours } from '../model/measurement.ts';
import { channels, perChannel } from './channels.ts';
import type { Channel, PerChannel } from './channels.ts';
import { findSteps } from './find-steps.ts';
import { medianOfAll } from '../numeric/median.ts';
import type { Reference } from './usable-references.ts';

/** Smallest step of a patch that is looked into, relative. Chosen: below it, little follows for an extent. */
const smallestStep = 0.015;
/** Frames on either side. Chosen. */
const reach = 5;
/** Share of a patch's step that the vials must show too for it to be light. Chosen. */
const sharedByVials = 0.5;

/**
 * Finds steps that a patch makes and the vials do not: it was moved, covered in part or marked, and the light did not change. The patch's
 * columns go on without the step, so that it stays a reference for what comes later. Needs three bright vials to tell the two apart.
 * @param rack what the vials do at once, see `vialRoughness`
 */
export function mendMovedPatches(
  references: readonly Reference[],
  rack: PerChannel<readonly (number | null)[]>,
  timeRunS: readonly number[],
): { readonly references: readonly Reference[]; readonly notes: readonly MeasurementNote[] } {
  const notes: MeasurementNote[] = [];
  const mended = references.map((reference): Reference => {
    const steps = perChannel((channel) => findSteps(logarithm(reference, channel), smallestStep));
    const frames = [...new Set(channels.flatMap((channel) => steps[channel].map(({ frame }) => frame)))].sort(
      (first, second) => first - second,
    );
    let { region } = reference;
    for (const frame of frames) {
      const seen = channels.map((channel) => ownStep(steps[channel], rack[channel], frame));
      const light = seen.filter(({ known }) => known).map(({ size, excess }) => size - excess);
      // A channel in which the vials are too dark to tell (blue of an orange rack) had the light's step of the others.
      const own = seen.map((step) => (step.known ? step : { ...step, excess: step.size - mean(light) }));
      // A patch that moves changes in red and green at once; white balance may change either alone.
      if (!(own[0]!.alone && own[1]!.alone)) continue;
      // What the vials show of the step stays in: that part is light.
      const factors = perChannel((channel) => Math.exp(-own[channels.indexOf(channel)]!.excess));
      region = scaledFrom(region, frame, factors);
      const sizes = own.map(({ excess }, index) => `${channels[index]!} ${percent(Math.expm1(excess))}`).join(', ');
      notes.push({
        code: 'patch-moved',
        severity: 'warn',
        message: `Neutral patch ${region.id} changed by itself (${sizes}) while the vials did not: it was moved, covered in part or marked. The step was taken out of it; fix the patch.`,
        fromRunS: timeRunS[Math.max(0, frame - 1)]!,
        toRunS: timeRunS[frame]!,
        region: region.id,
      });
    }
    return { ...reference, region };
  });
  return { references: mended, notes };
}

interface OwnStep {
  readonly size: number;
  /** Part of the step that the vials do not show. */
  readonly excess: number;
  readonly alone: boolean;
  /** Whether the vials could be asked. */
  readonly known: boolean;
}

/**
 * A patch's step at a frame against that of the vials, both over the frame itself and over a few frames on either side (a coder may
 * hold the vials' blocks for some frames); without vials to compare with it is light.
 */
function ownStep(steps: ReturnType<typeof findSteps>, rack: readonly (number | null)[], frame: number): OwnStep {
  const size = steps.find((step) => step.frame === frame)?.size ?? 0;
  const excesses = [1, reach].flatMap((frames) => {
    const level = (from: number, to: number): number =>
      medianOfAll(rack.slice(Math.max(0, from), to).filter((value) => value !== null));
    const step = level(frame, frame + frames) - level(frame - frames, frame);
    return Number.isFinite(step) ? [size - step] : [];
  });
  if (size === 0 || excesses.length === 0) return { size, excess: 0, alone: false, known: excesses.length > 0 };
  // Over the frame itself no reaction comes in; over more frames it must hold as well.
  const excess = excesses[0]!;
  const surest = Math.min(...excesses.map(Math.abs));
  return {
    size,
    excess,
    alone: surest > Math.max(smallestStep, sharedByVials * Math.abs(size)),
    known: true,
  };
}

function logarithm({ region, usable }: Reference, channel: Channel): (number | null)[] {
  return region[channel].map((value, frame) =>
    value !== null && usable[frame] === true && value > 0 ? Math.log(value) : null,
  );
}

function scaledFrom(region: RegionColours, frame: number, factors: PerChannel<number>): RegionColours {
  const column = (channel: Channel): (number | null)[] =>
    region[channel].map((value, at) => (value === null || at < frame ? value : value * factors[channel]));
  return { ...region, red: column('red'), green: column('green'), blue: column('blue') };
}

const percent = (value: number): string => `${value >= 0 ? '+' : '-'}${Math.abs(100 * value).toFixed(1)} %`;
