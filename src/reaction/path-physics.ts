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
import { at, physicsCount } from './path-parameters.ts';

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
/** From each place of the grid to the next; none after the last. */
const jumps: readonly number[] = gridSteps.map((place, index) => (gridSteps[index + 1] ?? 0) - place);

/** Turns unknowns into the colours of a path; see {@link createPathPhysics}. */
export interface PathPhysics {
  /** Six off-diagonal elements of the assumed camera matrix: rg rb gr gb br bg. */
  readonly nominalMixing: readonly number[];
  /** Where the start spectrum is interpolated only; `null`: nowhere. */
  readonly interpolated: Interpolated | null;
  /**
   * Linear RGB (three values an extent of {@link pathExtents}) before any clipping by the camera. A point that differs from the
   * one before in a single unknown costs the least: derivatives are taken so.
   */
  colours(parameters: ArrayLike<number>): Float64Array;
}

/** What the colours of a point are made of. */
interface PathParts {
  readonly p: Float64Array;
  /** Light through the liquid, by wavelength and extent. */
  readonly seen: Float64Array;
  /** By channel. */
  readonly weights: readonly Float64Array[];
  /** What a channel sees of it, by extent, before mixing. */
  readonly light: readonly Float64Array[];
}

/** Unknowns that the light through the liquid depends on. */
const throughLiquid: readonly number[] = [
  ...[at.logAmount, at.logEndToStart, at.startTilt, at.startCurve, at.startBetween],
  ...[at.endShift, at.endStretch, at.endTilt, at.endSharpness, at.pathSpread],
];

const alike = (p: ArrayLike<number>, other: ArrayLike<number>, unknowns: readonly number[]): boolean =>
  unknowns.every((index) => p[index] === other[index]);

function differing(p: ArrayLike<number>, other: Float64Array): number {
  let count = 0;
  for (let index = 0; index < other.length; index += 1) if (p[index] !== other[index]) count += 1;
  return count;
}

/** Sum over the wavelengths, by extent. */
function weighed(seen: Float64Array, weights: Float64Array): Float64Array {
  const places = gridSteps.length;
  const sum = new Float64Array(places);
  for (let index = 0, from = 0; index < weights.length; index += 1, from += places) {
    const weight = weights[index]!;
    for (let place = 0; place < places; place += 1) sum[place]! += weight * seen[from + place]!;
  }
  return sum;
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

  const lampAt = nm.map((wavelength) => (wavelength - 550) / 100);
  const infraredCut = nm.map((wavelength) => 1 + Math.exp((wavelength - shape.infraredCutNm) / 8));

  /** A channel's share of every wavelength. */
  const weightsOf = (p: ArrayLike<number>, channel: number): Float64Array => {
    const centre = bands[channel]!.peakNm + p[at.redShift + channel]!;
    const width = bands[channel]!.widthNm * Math.exp(p[at.redWidth + channel]!);
    const channelWeights = new Float64Array(nm.length);
    let total = 0;
    for (let index = 0; index < nm.length; index += 1) {
      const u = lampAt[index]!;
      const light = lamp[index]! * Math.exp(p[at.lampTilt]! * u + p[at.lampCurve]! * u * u);
      const response =
        (Math.exp(-4 * Math.LN2 * ((nm[index]! - centre) / width) ** 2) + shape.leak) / infraredCut[index]!;
      total += light * response;
      channelWeights[index] = light * response;
    }
    for (let index = 0; index < nm.length; index += 1) channelWeights[index]! /= total;
    return channelWeights;
  };

  /** Share of the light that comes through, wavelength by wavelength over the extents of the grid. */
  const transmitted = (p: ArrayLike<number>): Float64Array => {
    const amount = Math.LN10 * Math.exp(p[at.logAmount]!);
    const sharpness = Math.exp(p[at.endSharpness]!);
    const endFactor = Math.exp(p[at.logEndToStart]!);
    const spread = p[at.pathSpread]! * 1.2247; // three equal nodes at 0 and +-sqrt(3/2) sd have that sd
    const seen = new Float64Array(nm.length * gridSteps.length);
    for (let index = 0, to = 0; index < nm.length; index += 1) {
      const wavelength = nm[index]!;
      const u = (wavelength - 490) / 60;
      const bend = p[at.startTilt]! * u + p[at.startCurve]! * u * u + p[at.startBetween]! * between[index]!;
      const six = amount * start[index]! * Math.exp(bend);
      const source = 495 + (wavelength - p[at.endShift]! - 495) / (1 + p[at.endStretch]!);
      const place = Math.min(Math.max((source - wavelengthsNm[0]!) / 5, 0), wavelengthsNm.length - 1.001);
      const low = Math.floor(place);
      const tabulated = endTable[low]! + (place - low) * (endTable[low + 1]! - endTable[low]!);
      // a power of a Gaussian is a narrower or wider Gaussian of the same height
      const shaped = endTop * (tabulated / endTop) ** sharpness;
      const three = amount * endFactor * shaped * Math.exp((p[at.endTilt]! * (wavelength - 495)) / 85);
      // extents are multiples of one step, so the transmittance follows by powers of one factor
      const factor = Math.exp((six - three) / steps);
      const fourth = factor ** 4;
      const change = (three - six) / steps;
      let passed = Math.exp(-six) * factor ** gridSteps[0]!;
      let absorbance = six + change * gridSteps[0]!;
      for (let nth = 0; nth < gridSteps.length; nth += 1, to += 1) {
        // mean over three light paths: (1 + 2 cosh(A s)) / 3, by its series (A s stays below 2)
        const square = (absorbance * spread) ** 2;
        seen[to] = passed * (1 + square * (1 / 3 + square * (1 / 36 + square / 1080)));
        const jump = jumps[nth]!;
        passed *= jump === 1 ? factor : jump === 4 ? fourth : fourth * fourth;
        absorbance += jump * change;
      }
    }
    return seen;
  };

  let near: PathParts | null = null;
  /** The parts of a point's colours; what a point near by had alike is not worked out again. */
  const partsAt = (p: ArrayLike<number>): PathParts => {
    const known: PathParts | null = near;
    const through = known !== null && alike(p, known.p, throughLiquid);
    const seen = through ? known.seen : transmitted(p);
    const kept = [0, 1, 2].map(
      (channel) =>
        known !== null && alike(p, known.p, [at.redShift + channel, at.redWidth + channel, at.lampTilt, at.lampCurve]),
    );
    const weights = kept.map((same, channel) => (same ? known!.weights[channel]! : weightsOf(p, channel)));
    const light = kept.map((same, channel) =>
      same && through ? known!.light[channel]! : weighed(seen, weights[channel]!),
    );
    const parts = { p: Float64Array.from({ length: physicsCount }, (_, index) => p[index]!), seen, weights, light };
    // one unknown moved is a derivative's point: the one that it belongs to stays
    if (known === null || differing(p, known.p) > 1) near = parts;
    return parts;
  };

  const colours = (p: ArrayLike<number>): Float64Array => {
    const [red, green, blue] = partsAt(p).light as [Float64Array, Float64Array, Float64Array];
    const m = (index: number): number => p[at.mixing + index]!;
    const exposure = Math.exp(p[at.logExposure]!);
    const gains = [exposure * Math.exp(p[at.redGain]!), exposure, exposure * Math.exp(p[at.blueGain]!)];
    const out = new Float64Array(pathExtents.length * 3);
    const flare = p[at.flare]!;
    for (let place = 0; place < pathExtents.length; place += 1) {
      const r = red[place]!;
      const g = green[place]!;
      const b = blue[place]!;
      out[place * 3] = gains[0]! * (r + m(0) * (g - r) + m(1) * (b - r) + flare);
      out[place * 3 + 1] = gains[1]! * (g + m(2) * (r - g) + m(3) * (b - g) + flare);
      out[place * 3 + 2] = gains[2]! * (b + m(4) * (r - b) + m(5) * (g - b) + flare);
    }
    return out;
  };
  return { nominalMixing, interpolated, colours };
}
