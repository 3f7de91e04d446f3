import type { Interpolated, Species } from '../model/reaction.ts';
import {
  cameraMatrix,
  cameraShapes,
  cameraSensitivities,
  neutralLed,
  spectrumOnGrid,
  wavelengthsNm,
  whiteLed,
} from '../spectra/index.ts';
import { at } from './path-parameters.ts';

/** Unit of the extent grid. */
const steps = 160;
/**
 * Extent grid of a path: 1/40 apart up to 0.8, then 1/160, because blue rises from nothing within the last fifth and the
 * encoding bends sharply there (measured: 1/40 throughout doubles the mid-curve error); 1/10 beyond each end, so that
 * noise is never clipped.
 */
const gridSteps: readonly number[] = [
  -16,
  -8,
  ...Array.from({ length: 32 }, (_, index) => 4 * index),
  ...Array.from({ length: 33 }, (_, index) => 128 + index),
  168,
  176,
];
export const pathExtents: readonly number[] = gridSteps.map((place) => place / steps);

/** Turns unknowns into the colours of a path; see {@link createPathPhysics}. */
export interface PathPhysics {
  /** Six off-diagonal elements of the assumed camera matrix: rg rb gr gb br bg. */
  readonly nominalMixing: readonly number[];
  /** Where the start spectrum is interpolated only; `null`: nowhere. */
  readonly interpolated: Interpolated | null;
  /**
   * Linear RGB (three values an extent of {@link pathExtents}) before any clipping by the camera.
   * `logPathFactor`: log of this vial's light path against the run's.
   */
  colours(parameters: ArrayLike<number>, logPathFactor?: number): Float64Array;
}

const step = 2; // every second wavelength of the common grid: 10 nm, enough for smooth spectra (measured: 2e-4 in linear RGB)
const nm = wavelengthsNm.filter((_, index) => index % step === 0);
const thin = (values: ArrayLike<number>): Float64Array => Float64Array.from(nm, (_, index) => values[index * step]!);

/**
 * The forward model behind every path: two species in a beam (Beer-Lambert, path lengths spread a little), an assumed
 * lamp and camera, a white-preserving mixing, gains and stray light.
 */
export function createPathPhysics(species: readonly Species[]): PathPhysics {
  // several species of one side are forms in unknown shares (aqua and sulfato Cr(III)): begin at their mean
  const mean = (side: 'start' | 'end'): Float64Array => {
    const total = new Float64Array(wavelengthsNm.length);
    const forms = species.filter((one) => one.side === side);
    for (const { spectrum } of forms) {
      spectrumOnGrid(spectrum).forEach((value, index) => (total[index]! += value / forms.length));
    }
    return total;
  };
  const start = thin(mean('start'));
  const interpolated = species.find((one) => one.side === 'start')?.interpolated ?? null;
  // a parabola: 1 half-way, 0 at the published points and beyond
  const between = Float64Array.from(nm, (wavelength) => {
    if (interpolated === null) return 0;
    const { fromNm, toNm } = interpolated;
    return Math.max(0, 1 - ((2 * wavelength - fromNm - toNm) / (toNm - fromNm)) ** 2);
  });
  const endTable = mean('end');
  const endTop = Math.max(...endTable);
  const assumedLamp = whiteLed(neutralLed);
  const lamp = thin(assumedLamp);
  const shape = cameraShapes.standard;
  const bands = [shape.red, shape.green, shape.blue] as const;
  // cameras mix less than the best colour matrix does: two thirds of the way from the identity to it (chosen)
  const matrix = cameraMatrix(assumedLamp, cameraSensitivities(shape));
  const pick = (row: 0 | 1 | 2, column: 0 | 1 | 2): number => 0.7 * matrix[row][column];
  const nominalMixing = [pick(0, 1), pick(0, 2), pick(1, 0), pick(1, 2), pick(2, 0), pick(2, 1)];

  const weights = (p: ArrayLike<number>): readonly Float64Array[] =>
    bands.map((band, channel) => {
      const centre = band.peakNm + p[at.redShift + channel]!;
      const width = band.widthNm * Math.exp(p[at.redWidth + channel]!);
      let total = 0;
      const channelWeights = Float64Array.from(nm, (wavelength, index) => {
        const u = (wavelength - 550) / 100;
        const light = lamp[index]! * Math.exp(p[at.lampTilt]! * u + p[at.lampCurve]! * u * u);
        const response =
          (Math.exp(-4 * Math.LN2 * ((wavelength - centre) / width) ** 2) + shape.leak) /
          (1 + Math.exp((wavelength - shape.infraredCutNm) / 8));
        total += light * response;
        return light * response;
      });
      return channelWeights.map((value) => value / total);
    });

  const colours = (p: ArrayLike<number>, logPathFactor = 0): Float64Array => {
    const amount = Math.LN10 * Math.exp(p[at.logAmount]! + logPathFactor);
    const sharpness = Math.exp(p[at.endSharpness]!);
    const endFactor = Math.exp(p[at.logEndToStart]!);
    const six = new Float64Array(nm.length);
    const three = new Float64Array(nm.length);
    for (let index = 0; index < nm.length; index += 1) {
      const wavelength = nm[index]!;
      const u = (wavelength - 490) / 60;
      const bend = p[at.startTilt]! * u + p[at.startCurve]! * u * u + p[at.startBetween]! * between[index]!;
      six[index] = amount * start[index]! * Math.exp(bend);
      const source = 495 + (wavelength - p[at.endShift]! - 495) / (1 + p[at.endStretch]!);
      const place = Math.min(Math.max((source - wavelengthsNm[0]!) / 5, 0), wavelengthsNm.length - 1.001);
      const low = Math.floor(place);
      const tabulated = endTable[low]! + (place - low) * (endTable[low + 1]! - endTable[low]!);
      // a power of a Gaussian is a narrower or wider Gaussian of the same height
      const shaped = endTop * (tabulated / endTop) ** sharpness;
      three[index] = amount * endFactor * shaped * Math.exp((p[at.endTilt]! * (wavelength - 495)) / 85);
    }
    const channelWeights = weights(p);
    const mixing = p as ArrayLike<number>;
    const m = (index: number): number => mixing[at.mixing + index]!;
    const exposure = Math.exp(p[at.logExposure]!);
    const gains = [exposure * Math.exp(p[at.redGain]!), exposure, exposure * Math.exp(p[at.blueGain]!)];
    const spread = p[at.pathSpread]! * 1.2247; // three equal nodes at 0 and +-sqrt(3/2) sd have that sd
    const sums = new Float64Array(pathExtents.length * 3);
    for (let index = 0; index < nm.length; index += 1) {
      const [red, green, blue] = [channelWeights[0]![index]!, channelWeights[1]![index]!, channelWeights[2]![index]!];
      // extents are multiples of one step, so the transmittance follows by powers of one factor
      const factor = Math.exp((six[index]! - three[index]!) / steps);
      const fourth = factor ** 4;
      const change = (three[index]! - six[index]!) / steps;
      let transmitted = Math.exp(-six[index]!) * factor ** gridSteps[0]!;
      let absorbance = six[index]! + change * gridSteps[0]!;
      for (let place = 0; place < gridSteps.length; place += 1) {
        // mean over three light paths: (1 + 2 cosh(A s)) / 3, by its series (A s stays below 2)
        const square = (absorbance * spread) ** 2;
        const seen = transmitted * (1 + square * (1 / 3 + square * (1 / 36 + square / 1080)));
        sums[place * 3]! += red * seen;
        sums[place * 3 + 1]! += green * seen;
        sums[place * 3 + 2]! += blue * seen;
        const jump = (gridSteps[place + 1] ?? 0) - gridSteps[place]!;
        transmitted *= jump === 1 ? factor : jump === 4 ? fourth : fourth * fourth;
        absorbance += jump * change;
      }
    }
    const out = new Float64Array(sums.length);
    const flare = p[at.flare]!;
    for (let place = 0; place < pathExtents.length; place += 1) {
      const r = sums[place * 3]!;
      const g = sums[place * 3 + 1]!;
      const b = sums[place * 3 + 2]!;
      out[place * 3] = gains[0]! * (r + m(0) * (g - r) + m(1) * (b - r) + flare);
      out[place * 3 + 1] = gains[1]! * (g + m(2) * (r - g) + m(3) * (b - g) + flare);
      out[place * 3 + 2] = gains[2]! * (b + m(4) * (r - b) + m(5) * (g - b) + flare);
    }
    return out;
  };
  return { nominalMixing, interpolated, colours };
}
