import { mean } from '../numeric/mean.ts';
import type { MeasurementNote } from '../model/measurement.ts';
import { channels } from './channels.ts';
import type { Channel, PerChannel } from './channels.ts';
import type { CommonGain } from './common-gain.ts';
import type { Step } from './find-steps.ts';
import { medianOfAll } from '../numeric/median.ts';
import { noiseSd } from './noise-sd.ts';
import type { SpatialGain } from './spatial-gain.ts';
import type { Reference } from './usable-references.ts';

export interface LightFindings {
  readonly timeRunS: readonly number[];
  readonly references: readonly Reference[];
  readonly common: PerChannel<CommonGain>;
  readonly steps: PerChannel<readonly Step[]>;
  readonly shared: PerChannel<number>;
  readonly basis: 'patches' | 'background';
  readonly plane: SpatialGain;
}

const percent = (value: number): string => `${value >= 0 ? '+' : '-'}${Math.abs(100 * value).toFixed(1)} %`;
const names: PerChannel<string> = { red: 'red', green: 'green', blue: 'blue' };

/** The story of the light in notes: steps named, flicker, slow drift, daylight, unevenness. */
export function describeLight(findings: LightFindings): MeasurementNote[] {
  return [
    ...describeSteps(findings),
    ...describeFlicker(findings),
    ...describeDrift(findings),
    ...describeUnevenness(findings),
  ];
}

function describeSteps({ timeRunS, steps }: LightFindings): MeasurementNote[] {
  const frames = [...new Set(channels.flatMap((channel) => steps[channel].map(({ frame }) => frame)))].sort(
    (a, b) => a - b,
  );
  return frames.map((frame) => {
    const size = (channel: Channel): number => steps[channel].find((step) => step.frame === frame)?.size ?? 0;
    const sizes = channels.map(size);
    const largest = Math.max(...sizes.map(Math.abs));
    // A step of exposure moves all channels alike; one of white balance does not. Chosen: a third of the largest apart.
    const coloured = Math.max(...sizes) - Math.min(...sizes) > largest / 3;
    return {
      code: coloured ? 'white-balance-step' : 'exposure-step',
      severity: 'info',
      message: `${coloured ? 'The white balance or the colour of the light' : 'The exposure or the light'} stepped (${channels
        .map((channel) => `${names[channel]} ${percent(Math.expm1(size(channel)))}`)
        .join(', ')}); corrected.`,
      fromRunS: timeRunS[Math.max(0, frame - 1)]!,
      toRunS: timeRunS[frame]!,
      region: null,
    } as const;
  });
}

function describeFlicker({ timeRunS, common, shared }: LightFindings): MeasurementNote[] {
  const size = Math.max(...channels.map((channel) => shared[channel] * noiseSd(common[channel].gain)));
  // Chosen: a third of a percent is three times the noise of a patch.
  if (size < 0.0033) return [];
  return [
    {
      code: 'flicker',
      severity: 'info',
      message: `The light or the exposure flickered from frame to frame (standard deviation ${(100 * size).toFixed(1)} %); corrected.`,
      fromRunS: timeRunS[0] ?? null,
      toRunS: timeRunS.at(-1) ?? null,
      region: null,
    },
  ];
}

function describeDrift({ timeRunS, common, steps }: LightFindings): MeasurementNote[] {
  const course = (channel: Channel): number[] => withoutSteps(common[channel].gain, steps[channel]);
  const range = (values: readonly number[]): number =>
    values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
  const green = smooth(course('green'));
  const red = course('red');
  const blueRed = smooth(course('blue').map((value, frame) => value - red[frame]!));
  const notes: MeasurementNote[] = [];
  const whole = { fromRunS: timeRunS[0] ?? null, toRunS: timeRunS.at(-1) ?? null, region: null };
  const drift = range(green);
  // Sky light comes bluer as it comes brighter; a lamp that is turned down or ages goes redder by far less. Chosen: 4 % of blue against red together with 4 % of level,
  // each following the other closely: what is left of a step of white balance beside a lamp's drift came to 0.84 in coarse films.
  if (range(blueRed) > 0.04 && drift > 0.04 && correlation(green, blueRed) > 0.9) {
    notes.push({
      ...whole,
      code: 'daylight',
      severity: 'warn',
      message: `Daylight seems to reach the rack: the light changed slowly by ${percent(Math.expm1(drift))}, the bluer the brighter (blue against red ${percent(Math.expm1(range(blueRed)))}). Corrected as far as the patches see it; cover the window.`,
    });
  } else if (drift > 0.01 || range(blueRed) > 0.01) {
    notes.push({
      ...whole,
      code: 'lamp-drift',
      severity: 'info',
      message: `The light drifted slowly (level by ${percent(Math.expm1(drift))}, blue against red by ${percent(Math.expm1(range(blueRed)))}); corrected.`,
    });
  }
  return notes;
}

/** Lasting differences that a plane leaves are called tone mapping from here on. Chosen: three times what lamps and shadows of modelled racks leave. */
const smallestToneMapping = 0.01;

function describeUnevenness({ timeRunS, references, plane, basis }: LightFindings): MeasurementNote[] {
  if (references.length < 2 || plane.unevenness < 0.01) return [];
  const whole = { fromRunS: timeRunS[0] ?? null, toRunS: timeRunS.at(-1) ?? null, region: null };
  const who = basis === 'patches' ? 'The neutral patches' : 'The pieces of background';
  if ((plane.left ?? 0) > smallestToneMapping) {
    return [
      {
        ...whole,
        code: 'light-tone-mapping',
        severity: 'warn',
        message: `${who} changed differently (by ${percent(plane.unevenness)}), and not as light from one side does: a plane through them leaves ${percent(plane.left!)}. The camera brightens parts of the picture by itself (local tone mapping, HDR), or something cast a shadow. Errors were widened; turn automatic contrast off.`,
      },
    ];
  }
  return [
    {
      ...whole,
      code: 'patches-disagree',
      severity: plane.unevenness > 0.05 ? 'warn' : 'info',
      message: `${who} changed differently (by ${percent(plane.unevenness)}): the light moved, a part was shaded, or the camera maps tones piece by piece. A plane through them was used.`,
    },
  ];
}

/** The known values with the steps taken out. */
function withoutSteps(values: readonly (number | null)[], steps: readonly Step[]): number[] {
  return values.flatMap((value, frame) =>
    value === null ? [] : [value - steps.reduce((sum, step) => sum + (step.frame <= frame ? step.size : 0), 0)],
  );
}

/** Running median of nine. */
function smooth(values: readonly number[]): number[] {
  return values.map((_, frame) => medianOfAll(values.slice(Math.max(0, frame - 4), frame + 5)));
}

function correlation(first: readonly number[], second: readonly number[]): number {
  const n = first.length;
  const meanFirst = mean(first);
  const meanSecond = mean(second);
  let [product, squareFirst, squareSecond] = [0, 0, 0];
  for (let index = 0; index < n; index += 1) {
    product += (first[index]! - meanFirst) * (second[index]! - meanSecond);
    squareFirst += (first[index]! - meanFirst) ** 2;
    squareSecond += (second[index]! - meanSecond) ** 2;
  }
  return product / Math.sqrt(Math.max(1e-30, squareFirst * squareSecond));
}
