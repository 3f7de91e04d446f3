import type { MeasurementNote, RegionColours } from '../model/measurement.ts';
import { channels, perChannel } from './channels.ts';
import type { Channel, PerChannel } from './channels.ts';
import { findSteps } from './find-steps.ts';
import type { Reference } from './usable-references.ts';
import { vialRoughness } from './vial-roughness.ts';

/** Smallest step of a patch that is looked into, relative. Chosen: below it, little follows for an extent. */
const smallestStep = 0.015;
/** Share of a patch's step that the vials must show too for it to be light. Chosen. */
const sharedByVials = 0.5;

/**
 * Finds steps that a patch makes and the vials do not: it was moved, covered in part or marked, and the light did not change. The patch's
 * columns go on without the step, so that it stays a reference for what comes later. Needs three bright vials to tell the two apart.
 */
export function mendMovedPatches(
  references: readonly Reference[],
  vials: readonly RegionColours[],
  timeRunS: readonly number[],
): { readonly references: readonly Reference[]; readonly notes: readonly MeasurementNote[] } {
  const rack = perChannel((channel) => vialRoughness(vials, channel, timeRunS.length));
  const notes: MeasurementNote[] = [];
  const mended = references.map((reference): Reference => {
    const steps = perChannel((channel) => findSteps(logarithm(reference, channel), smallestStep));
    const frames = [...new Set(channels.flatMap((channel) => steps[channel].map(({ frame }) => frame)))].sort(
      (first, second) => first - second,
    );
    let { region } = reference;
    for (const frame of frames) {
      const own = channels.map((channel) => ownStep(steps[channel], rack[channel], frame));
      if (!own.some(({ size, alone }) => alone && size !== 0)) continue;
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
}

/** A patch's step at a frame against that of the vials; without vials to compare with it is light. */
function ownStep(steps: ReturnType<typeof findSteps>, rack: readonly (number | null)[], frame: number): OwnStep {
  const size = steps.find((step) => step.frame === frame)?.size ?? 0;
  const after = rack[frame] ?? null;
  const before = rack[frame - 1] ?? null;
  if (size === 0 || after === null || before === null) return { size, excess: 0, alone: false };
  const excess = size - (after - before);
  return { size, excess, alone: Math.abs(excess) > Math.max(smallestStep, sharedByVials * Math.abs(size)) };
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
