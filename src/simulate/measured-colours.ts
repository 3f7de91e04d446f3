import type { Column, LightCorrection, Measurement, RegionColours } from '../model/measurement.ts';
import { normalCdf, normalDensity } from '../numeric/normal.ts';
import { createRandom, type Random } from '../numeric/random.ts';
import { roundVialPathLengths, weighLinearRgb, type ViewingWeights } from '../spectra/index.ts';
import { transmittances } from './chemistry.ts';
import { layoutOf, liquidRect, type VialBox } from './layout.ts';
import { frameTimes, lightCourse } from './light-course.ts';
import type { Scenario } from './scenario.ts';
import { cardLight } from './scene/background.ts';
import { glassTransmittance } from './scene/vial-glass.ts';
import { readBack } from './sensor.ts';
import { exposureAt } from './stage.ts';
import { vialCourses, type VialCourse } from './vial-course.ts';
import { scenarioWeights } from './viewing.ts';

/** Errors of a measured region colour beside pixel noise; all of them standard deviations. */
export interface ColourErrors {
  /** Relative error of each channel in each frame (compression, meniscus cut, residual glare). */
  readonly frame: number;
  /** Correlation of that error between neighbouring frames, 0..1. */
  readonly neighbours: number;
  /** Relative error of the light correction, common to all vials of a frame. */
  readonly gain: number;
}
/** Levels met in encoded film of the default scenario, rounded; chosen. */
export const usualColourErrors: ColourErrors = { frame: 0.002, neighbours: 0.3, gain: 0.0007 };

/**
 * A scenario as the slow half of the analysis would hand it on, without drawing a pixel: for studies of many runs.
 * Colours are the mean over the middle of each round vial, with stray light, clipping at black, correlated frame errors and an
 * imperfect light correction. Glare, edges and motion are taken as perfectly dealt with; layers and turbidity show
 * as colour only, so `halvesDeltaE` and `texture` are `null`.
 */
export function simulateColours(scenario: Scenario, errors: ColourErrors = usualColourErrors): Measurement {
  const random = createRandom(scenario.seed).stream('colours');
  const times = frameTimes(scenario);
  const layout = layoutOf(scenario);
  const weights = scenarioWeights(scenario);
  const gains = lightCourse(scenario);
  const residual = times.map(() => [0, 1, 2].map(() => 1 + errors.gain * random.normal()));
  const corrected = scenario.rack.patches;
  // Without patches the light's own course stays in the colours.
  const gainOf = (frame: number, channel: number): number =>
    corrected ? gains[0]![channel]! * residual[frame]![channel]! : gains[frame]![channel]!;
  const exposed = exposureAt(scenario);
  const card = cardLight(scenario.seed, 0, scenario.frame);
  const flare = scenario.camera.flare * scenario.camera.exposure;
  const vials = vialCourses(scenario).map((course, index) => {
    const box = layout.vials[index]!;
    const y = (box.surface + box.floor) / 2;
    const back = card(box.centreX, y) * glassTransmittance * course.brightness * exposed(box.centreX, y);
    const linear = times.map((runS) =>
      meanColour(course, runS, scenario, weights)?.map((value) => back * value + flare),
    );
    const size = liquidRect(box);
    return regionColours(scenario, course.region, 'vial', linear, gainOf, errors, size.width * size.height, random, {
      meniscusY: times.map((runS) => surfaceY(box, course.levelLossCm(runS), layout.pixelsPerCm)),
    });
  });
  const patches = layout.patches.map((patch) => {
    const x = patch.x + patch.width / 2;
    const y = patch.y + patch.height / 2;
    const level = patch.reflectance * (card(x, y) / card(0, 0)) * exposed(x, y) + flare;
    const linear = times.map(() => [level, level, level]);
    const count = Math.round(0.49 * patch.width * patch.height);
    return regionColours(
      scenario,
      patch.id,
      'white',
      linear,
      gainOf,
      { ...errors, frame: errors.frame / 4 },
      count,
      random,
      {},
    );
  });
  const still: Column = times.map(() => 0);
  return {
    schema: 'vialapse/measurement@1',
    source: modelledSource(scenario),
    glance: false,
    frames: { index: times.map((_, index) => index), timeRunS: times },
    framesRead: times.length,
    rejected: [],
    vials,
    patches,
    motion: { dx: still, dy: still, rotation: still, scale: times.map(() => 1) },
    light: lightCorrection(gains, corrected, errors),
    notes: [],
    stills: [],
  };
}

/** Mean linear colour over the middle 70 % of the vial's width, relative to the light from behind; `null` undosed. */
function meanColour(course: VialCourse, runS: number, scenario: Scenario, weights: ViewingWeights): number[] | null {
  if (course.levelLossCm(runS) === null) return null;
  const { pathCm } = roundVialPathLengths(scenario.rack.innerDiameterCm * course.path, 0.7, 5);
  const columns = transmittances(course.absorbance(runS), pathCm).map((one) => weighLinearRgb(weights, one));
  return [0, 1, 2].map((channel) => columns.reduce((sum, column) => sum + column[channel]!, 0) / columns.length);
}

function surfaceY(box: VialBox, lossCm: number | null, pixelsPerCm: number): number | null {
  return lossCm === null ? null : box.surface + lossCm * pixelsPerCm;
}

function regionColours(
  scenario: Scenario,
  id: string,
  kind: 'vial' | 'white',
  linear: readonly (readonly number[] | null | undefined)[],
  gainOf: (frame: number, channel: number) => number,
  errors: ColourErrors,
  samples: number,
  random: Random,
  extra: Partial<RegionColours>,
): RegionColours {
  const { readNoise, shotNoise } = scenario.camera;
  const carry = errors.neighbours;
  const channels = [0, 1, 2].map((channel) => {
    let error = random.normal();
    return linear.map((colour, frame) => {
      error = carry * error + Math.sqrt(1 - carry * carry) * random.normal();
      if (colour === null || colour === undefined) return null;
      const mean = colour[channel]! * gainOf(frame, channel);
      const pixelSd = Math.sqrt(readNoise ** 2 + shotNoise * Math.max(0, mean));
      const clipped = normalCdf((0.004 - mean) / pixelSd);
      const se = Math.hypot(pixelSd / Math.sqrt(samples), errors.frame * Math.max(0.02, mean));
      return {
        value: readBack(cutMean(mean, pixelSd), scenario.camera.tone, scenario.camera.toneGamma) + se * error,
        se,
        clipped: clipped + normalCdf((mean - 1) / pixelSd),
      };
    });
  });
  const pick = (channel: number, key: 'value' | 'se' | 'clipped'): Column =>
    channels[channel]!.map((entry) => entry?.[key] ?? null);
  const where = (value: number | null): Column => linear.map((colour) => (colour ? value : null));
  return {
    id,
    kind,
    red: pick(0, 'value'),
    green: pick(1, 'value'),
    blue: pick(2, 'value'),
    redSe: pick(0, 'se'),
    greenSe: pick(1, 'se'),
    blueSe: pick(2, 'se'),
    redClipped: pick(0, 'clipped'),
    greenClipped: pick(1, 'clipped'),
    blueClipped: pick(2, 'clipped'),
    leftOut: where(0),
    samples: where(samples),
    halvesDeltaE: where(null),
    texture: where(null),
    meniscusY: where(null),
    ...extra,
  };
}

/** Mean of a normal pixel value cut at black: what noise leaves of a channel that is really negative. */
function cutMean(mean: number, sd: number): number {
  if (sd === 0) return Math.max(0, mean);
  return mean * normalCdf(mean / sd) + sd * normalDensity(mean / sd);
}

function lightCorrection(
  gains: readonly (readonly number[])[],
  corrected: boolean,
  errors: ColourErrors,
): LightCorrection {
  const column = (channel: number): Column =>
    gains.map((gain) => (corrected ? gains[0]![channel]! / gain[channel]! : 1));
  const change = gains.flatMap((gain) => gain.map((value, channel) => Math.abs(value / gains[0]![channel]! - 1)));
  return {
    basis: corrected ? 'patches' : 'none',
    redGain: column(0),
    greenGain: column(1),
    blueGain: column(2),
    gainSe: gains.map(() => (corrected ? errors.gain : null)),
    driftRange: corrected ? Math.max(...change) : null,
  };
}

function modelledSource(scenario: Scenario): Measurement['source'] {
  return {
    kind: 'stills',
    ...scenario.frame,
    frameCount: scenario.frameCount,
    durationS: (scenario.frameCount - 1) * scenario.intervalS,
    codec: 'modelled',
    bitDepth: 8,
    chromaSubsampled: false,
    transferTag: 'srgb',
    conversion: null,
    decoder: 'none: colours from the forward model',
    notes: [],
    inputs: [],
  };
}
