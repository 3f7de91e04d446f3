import type { PathObservation } from './fit-path.ts';
import type { ExtentPin } from './nearest-extent.ts';
import { modelSd } from './model-sd.ts';
import { distance, findPlateau, medianColour, type Plateau } from './plateau.ts';
import { encodeVial, type EncodedVial, type Triple, type VialColours } from './vial-colours.ts';

/** Most bins along one vial's way; every stretch of colour weighs the same, however long the vial stayed there (chosen). */
const binsPerVial = 16;
/** Blanks hold extent 0 by definition; negatives begin there but may be a little impure (chosen). */
const blankSd = 0.003;
const negativeSd = 0.008;
/** A mixture holds the extent it was made to, as far as one can make it (chosen). */
export const mixtureSd = 0.004;

/** A mixture must stay as it was made: a change of colour beyond this (encoded units; about 0.02 of extent) refuses it. Chosen. */
const steadyWithin = 0.02;

/** Missing share above which a positive's end is called near its plateau, not on it. Chosen. */
const nearPlateau = 0.015;

export interface PathData {
  readonly observations: readonly PathObservation[];
  readonly encoded: readonly EncodedVial[];
  /** Sentences naming each pin. */
  readonly pins: readonly string[];
  readonly startColour: Triple | null;
  readonly endColour: Triple | null;
  readonly plateaus: readonly (Plateau | null)[];
  /** Mixtures that were refused as pins because their colour did not stay. */
  readonly unsteadyMixtures: readonly string[];
}

/**
 * Thins every vial's colours to bins of equal length along its way and pins what is known: blanks and the first frames
 * of negatives at extent 0, the beginning of positives' plateaus at 1, mixtures at their extent. A sample's or a
 * positive's own first frames pin nothing: that would erase a quick burst.
 */
export function pathData(vials: readonly VialColours[]): PathData {
  const encoded = vials.map(encodeVial);
  const observations: PathObservation[] = [];
  const pins: string[] = [];
  const add = (vial: number, from: number, to: number, pin: ExtentPin | null): void => {
    const { colour, se } = encoded[vial]!;
    const noise = medianColour(se, from, to);
    const sd: Triple = [
      Math.hypot(modelSd[0], noise[0]),
      Math.hypot(modelSd[1], noise[1]),
      Math.hypot(modelSd[2], noise[2]),
    ];
    observations.push({ vial, colour: medianColour(colour, from, to), sd, pin });
  };
  const firstColours = (role: VialColours['role']): Triple[] =>
    vials.flatMap((vial, index) =>
      vial.role === role && encoded[index]!.colour.length > 0 ? [medianColour(encoded[index]!.colour, 0, 4)] : [],
    );
  const blanks = firstColours('blank');
  const likeBlank = blanks.length > 0 ? blanks : firstColours('negative');
  const startColour = likeBlank.length === 0 ? null : medianColour(likeBlank, 0, likeBlank.length - 1);
  const guess = startColour ?? brightest(encoded);
  const plateaus = encoded.map(({ timeS, colour }, index) =>
    guess === null || vials[index]!.role !== 'positive' ? null : findPlateau(timeS, colour, guess),
  );
  const ends: Triple[] = [];
  const unsteadyMixtures: string[] = [];

  vials.forEach((vial, index) => {
    const { colour } = encoded[index]!;
    const last = colour.length - 1;
    if (last < 0) return;
    if (vial.role === 'blank') {
      add(index, 0, last, { extent: 0, sd: blankSd });
      pins.push(`extent 0: ${vial.region} (blank)`);
      return;
    }
    if (vial.role === 'mixture' && vial.knownExtent !== null) {
      const share = Math.max(4, Math.floor(colour.length / 5));
      const moved = distance(medianColour(colour, 0, share), medianColour(colour, last - share, last));
      if (moved > steadyWithin) {
        unsteadyMixtures.push(vial.region);
        return;
      }
      add(index, 0, last, { extent: vial.knownExtent, sd: mixtureSd });
      pins.push(`extent ${vial.knownExtent}: ${vial.region} (mixture)`);
      return;
    }
    const fresh = blanks.length === 0 || seenFresh(encoded[index]!.timeS);
    if (
      vial.role === 'negative' &&
      fresh &&
      startColour !== null &&
      distance(medianColour(colour, 0, 4), startColour) < 0.06
    ) {
      add(index, 0, Math.min(4, last), { extent: 0, sd: negativeSd });
      pins.push(`extent 0: ${vial.region} (clean negative, first frames)`);
    }
    for (const [from, to] of equalBins(colour)) add(index, from, to, null);
    const plateau = plateaus[index]!;
    if (plateau !== null) {
      add(index, plateau.from, plateau.to, { extent: 1 - plateau.remaining, sd: 0.004 + plateau.remaining });
      ends.push(medianColour(colour, plateau.from, plateau.to));
      const near = plateau.remaining > nearPlateau;
      pins.push(
        near
          ? `extent ${(1 - plateau.remaining).toFixed(2)}: ${vial.region} (positive, near its plateau, the rest foreseen)`
          : `extent 1: ${vial.region} (positive, beginning of its plateau)`,
      );
    }
  });
  const endColour = ends.length === 0 ? null : medianColour(ends, 0, ends.length - 1);
  return { observations, encoded, pins, startColour, endColour, plateaus, unsteadyMixtures };
}

/** First and last frame of stretches along which the colour moved by one bin's length. */
function equalBins(colour: readonly Triple[]): readonly (readonly [number, number])[] {
  const stride = Math.max(1, Math.round(colour.length / 40));
  let way = 0;
  for (let index = stride; index < colour.length; index += stride)
    way += distance(colour[index]!, colour[index - stride]!);
  const length = Math.max(0.015, way / binsPerVial);
  const bins: (readonly [number, number])[] = [];
  let from = 0;
  let begun = medianColour(colour, 0, 2);
  for (let index = 1; index < colour.length; index += 1) {
    // three frames running, so that one blurred frame opens no bin
    const moved = medianColour(colour, index, index + 2);
    if (distance(moved, begun) > length) {
      bins.push([from, index - 1]);
      from = index;
      begun = moved;
    }
  }
  bins.push([from, colour.length - 1]);
  return bins.length <= 2 * binsPerVial
    ? bins
    : bins.filter((_, index) => index % Math.ceil(bins.length / (2 * binsPerVial)) === 0);
}

function brightest(encoded: readonly EncodedVial[]): Triple | null {
  const all = encoded.flatMap(({ colour }) => colour.slice(0, 1));
  return all.length === 0 ? null : all.reduce((best, one) => (one[0] > best[0] ? one : best));
}

/** Frames after dosing within which a vial must be seen for its first frames to be called fresh. Chosen. */
const freshFrames = 5;

/** Whether the first frame comes soon after dosing; a vial dosed long before the film began may have gone on meanwhile. */
function seenFresh(timeS: readonly number[]): boolean {
  const [first, last] = [timeS[0]!, timeS.at(-1)!];
  return first <= (freshFrames * (last - first)) / Math.max(1, timeS.length - 1);
}
