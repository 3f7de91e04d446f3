import { mean } from '../numeric/mean.ts';
import type { CameraSettings } from '../model/frame.ts';
import type { Column, LightCorrection, MeasurementNote, RegionColours } from '../model/measurement.ts';
import type { Point } from '../model/region.ts';
import { applyGains } from './apply-gains.ts';
import { channels, luminanceWeights, perChannel, standardErrorOf } from './channels.ts';
import type { PerChannel } from './channels.ts';
import { commonGain } from './common-gain.ts';
import type { CommonGain } from './common-gain.ts';
import { describeGaps } from './describe-gaps.ts';
import { describeLight } from './describe-light.ts';
import { describeSettings, settingsKnown } from './camera-settings.ts';
import { fillGaps } from './fill-gaps.ts';
import { findSteps } from './find-steps.ts';
import { mendMovedPatches } from './moved-patches.ts';
import { coderHoldsBlocks, raiseErrors, withHeldBlocks } from './observed-error.ts';
import { medianOfAll } from '../numeric/median.ts';
import { sharedFlicker, smoothSeries } from './smooth-gain.ts';
import { spatialGain } from './spatial-gain.ts';
import { spansFrame } from './spans-frame.ts';
import { usableReferences } from './usable-references.ts';
import type { Reference } from './usable-references.ts';
import { vialRoughness } from './vial-roughness.ts';

export interface LightInput {
  readonly timeRunS: readonly number[];
  readonly frame: { readonly width: number; readonly height: number };
  /** As read, relative to full scale. */
  readonly vials: readonly RegionColours[];
  readonly patches: readonly RegionColours[];
  /** Pieces of still background, used only without neutral patches; may be empty. */
  readonly backgrounds: readonly RegionColours[];
  /** Centre of each region, patch and background piece by id, frame pixels. */
  readonly centres: Readonly<Record<string, Point>>;
  /** Camera settings by frame; empty for a film. */
  readonly settings: readonly (CameraSettings | null)[];
}

export interface CorrectedLight {
  readonly vials: RegionColours[];
  readonly patches: RegionColours[];
  readonly light: LightCorrection;
  readonly notes: MeasurementNote[];
}

/** Smallest relative error of a gain: evenness of one patch and its surroundings cannot be known better. Chosen. */
const patchFloor = 0.001;
/** Same for background pieces, which are of unknown colour and catch light from the vials. Chosen: ten times as large. */
const backgroundFloor = 0.01;
/** Jumps below this relative size are not called steps. Chosen: below it, nothing follows for an extent. */
const smallestStep = 0.004;

/**
 * Divides the lamp and the camera's moods out of the vials' colours. Linear R, G and B of every region are multiplied, frame by frame, so that
 * the neutral patches keep their first-frames luminance and become grey: `corrected = raw * Y / (P * G(t))`, P the patches' level in the channel
 * at the first frames, Y the luminance of that level, G(t) the change since. The colour cast of the lamp goes with it. The reacting vials
 * never set a gain: they only tell, from frame-to-frame jitter, how much of the patches' jitter is light.
 */
export function correctLight(asRead: LightInput): CorrectedLight {
  const held = coderHoldsBlocks([...asRead.vials, ...asRead.patches]);
  const input = held
    ? { ...asRead, vials: asRead.vials.map(withHeldBlocks), patches: asRead.patches.map(withHeldBlocks) }
    : asRead;
  const { timeRunS, vials, patches, centres } = input;
  const notes: MeasurementNote[] = [...describeSettings(timeRunS, input.settings), ...(held ? [heldBlocks] : [])];
  const sorted = usableReferences(patches, timeRunS);
  const rack = perChannel((channel) => vialRoughness(vials, channel, timeRunS.length));
  const mended = mendMovedPatches(sorted.references, rack, timeRunS);
  notes.push(...sorted.notes, ...mended.notes);
  const gaps = (regions: readonly RegionColours[], who: string, corrected: boolean): void => {
    notes.push(...describeGaps({ timeRunS, regions, who, corrected, settings: input.settings }));
  };
  if (mended.references.length > 0) {
    const seen = mended.references.map(({ region }) => region);
    gaps(seen, 'the neutral patches', true);
    return withReferences(input, rack, mended.references, 'patches', notes);
  }
  const background = usableReferences(input.backgrounds, timeRunS).references;
  const spanning = spansFrame(
    background.map(({ region }) => centres[region.id]),
    input.frame,
  );
  notes.push({
    code: 'no-neutral-patch',
    severity: 'warn',
    message: spanning
      ? 'There is no usable neutral patch: the light was followed by the unchanging background, with a larger error; automatic white balance cannot be ruled out.'
      : 'There is no usable neutral patch: drift of the lamp or of the camera could not be told from reaction.',
    fromRunS: null,
    toRunS: null,
    region: null,
  });
  const seen = spanning ? background.map(({ region }) => region) : vials;
  gaps(seen, spanning ? 'the background' : 'the vials', spanning);
  if (spanning) return withReferences(input, rack, background, 'background', notes);
  const ones: Column = timeRunS.map(() => 1);
  const unknown: Column = timeRunS.map(() => null);
  return {
    vials: vials.map(raiseErrors),
    patches: [...patches],
    light: {
      basis: 'none',
      ...{ redGain: ones, greenGain: ones, blueGain: ones, gainSe: unknown, driftRange: null },
      settings: settingsKnown(input.settings),
    },
    notes,
  };
}

const heldBlocks: MeasurementNote = {
  code: 'film-coarsely-coded',
  severity: 'info',
  message:
    'The film repeats its blocks unchanged between frames: changes of less than about one 8-bit step (0.5 % of a bright vial) did not reach the file, and a colour may be off by as much for long. A higher bit rate, larger pictures or stills lift this.',
  fromRunS: null,
  toRunS: null,
  region: null,
};

function withReferences(
  input: LightInput,
  rack: PerChannel<readonly (number | null)[]>,
  references: readonly Reference[],
  basis: 'patches' | 'background',
  notes: MeasurementNote[],
): CorrectedLight {
  const { timeRunS, vials, patches, centres } = input;
  const frames = timeRunS.length;
  const common = perChannel((channel) => commonGain(references, channel, frames));
  const steps = perChannel((channel) => findSteps(common[channel].gain, smallestStep));
  const readingSe = perChannel((channel) => relativeError(references, channel));
  const shared = perChannel((channel) => sharedFlicker(common[channel].gain, readingSe[channel], rack[channel]));
  const gains = perChannel((channel) => {
    const smooth = smoothSeries(common[channel].gain, steps[channel]);
    return fillGaps(
      common[channel].gain.map((value, frame) =>
        value === null ? null : smooth[frame]! + shared[channel] * (value - smooth[frame]!),
      ),
    );
  });
  const base = neutralScale(common, basis);
  const multiplier = perChannel((channel) => gains[channel].values.map((gain) => base[channel] * Math.exp(-gain)));
  const range = Math.max(...channels.map((channel) => rangeOf(common[channel].gain)));
  const floor = basis === 'patches' ? patchFloor : backgroundFloor;
  const gainSe = timeRunS.map((_, frame) => {
    const worst = Math.max(
      ...channels.map((channel) => {
        const { disagreement } = common[channel];
        const spread = disagreement === null ? 0 : disagreement / Math.sqrt(references.length);
        // Across a gap the light may have gone anywhere within what it did elsewhere.
        const lost = gains[channel].away[frame]! > 0 ? range / 2 : 0;
        return Math.hypot(readingSe[channel] * shared[channel], spread, lost);
      }),
    );
    return Math.max(floor, worst);
  });
  const plane = spatialGain(references, common, centres, input.frame);
  notes.push(...describeLight({ timeRunS, references, common, steps, shared, basis, plane }));
  return {
    vials: vials.map((region) => raiseErrors(applyGains(region, multiplier, plane.at(centres[region.id])))),
    patches: patches.map((region) => applyGains(region, multiplier, plane.at(centres[region.id]))),
    light: {
      basis,
      redGain: multiplier.red,
      greenGain: multiplier.green,
      blueGain: multiplier.blue,
      gainSe,
      driftRange: Math.expm1(range),
      unevenness: plane.unevenness,
      uncorrectedUnevenness: plane.left,
      settings: settingsKnown(input.settings),
    },
    notes,
  };
}

/** Multipliers that turn the references' mean level into a grey of its own luminance; background pieces have no known colour and stay. */
function neutralScale(common: PerChannel<CommonGain>, basis: 'patches' | 'background'): PerChannel<number> {
  if (basis === 'background') return perChannel(() => 1);
  const level = perChannel((channel) => {
    const { levels } = common[channel];
    return Math.exp(mean(levels));
  });
  const luminance = channels.reduce((sum, channel) => sum + luminanceWeights[channel] * level[channel], 0);
  return perChannel((channel) => luminance / level[channel]);
}

/** Relative standard error of the references' mean reading in a typical frame. */
function relativeError(references: readonly Reference[], channel: (typeof channels)[number]): number {
  const each = references.map(({ region, usable }) =>
    medianOfAll(
      usable.flatMap((good, frame) => {
        const se = standardErrorOf(region, channel)[frame] ?? null;
        return good && se !== null ? [se / region[channel][frame]!] : [];
      }),
    ),
  );
  const known = each.filter(Number.isFinite);
  if (known.length === 0) return 0;
  return Math.sqrt(known.reduce((sum, value) => sum + value * value, 0)) / known.length;
}

function rangeOf(values: readonly (number | null)[]): number {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? 0 : Math.max(...known) - Math.min(...known);
}
