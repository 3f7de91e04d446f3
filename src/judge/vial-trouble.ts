import type { Measurement } from '../model/measurement.ts';
import { turnedExtent } from './controls.ts';
import { nearestIndices } from './nearest-indices.ts';
import { median } from '../numeric/median.ts';
import type { JudgedVial, Trouble } from './types.ts';

/**
 * Growth of the colour difference between upper and lower half of the liquid that counts as two layers, OKLab units.
 * Chosen: about twice what an eye sees at an edge (0.02), above what shading adds as a vial changes colour.
 */
const layersDeltaE = 0.04;
/** Share of the frames about the reading time that must show it. */
const shareOfFrames = 0.5;
/** Frames about a time that are looked at, and on-path frames that show that a vial had turned; chosen. */
const framesLookedAt = 9;

/** Frames (positions in Measurement.frames) about a time since dosing: the nearest nine usable ones. */
function framesAbout(judged: JudgedVial, timeS: number): readonly number[] {
  return nearestIndices(judged.usable.timeS, timeS, framesLookedAt).map((i) => judged.usable.frame[i]!);
}

/**
 * What makes a vial's colour no measure of its reaction at the reading time; `null`: nothing. Samples with it are not judged,
 * references with it are left out as yardstick.
 * @param still negatives and blanks, by which the usual difference of the halves is known
 */
export function troubleOf(
  measurement: Measurement,
  readAtS: number,
  still: readonly JudgedVial[],
  judged: JudgedVial,
): Trouble | null {
  const region = judged.vial.region;
  const turnedBefore = hadTurned(judged);
  if (hasTwoLayers(measurement, readAtS, still, judged)) {
    const sentence = `two liquid layers: the upper and lower part of ${region} differ in colour at the reading time, so its colour is not that of one solution`;
    return { code: 'two-layers', sentence, turnedBefore: false };
  }
  if (judged.series.strange === true) {
    const sentence = `off the colour path: over the run the colours of ${region} do not change as this reaction's do in the other vials (it turned cloudy, dried, separated or leaked, or has a colour of its own)`;
    return { code: 'own-path', sentence, turnedBefore };
  }
  if (isOffPath(readAtS, judged)) {
    const sentence = `off the colour path: the colour of ${region} at the reading time is not one of this reaction (precipitate, bubbles, a coloured sample or an intermediate)`;
    return { code: 'off-path', sentence, turnedBefore };
  }
  return null;
}

/** Whether the vial shows two liquid layers at the reading time: halves that differ more than those of still vials do. */
function hasTwoLayers(
  measurement: Measurement,
  timeS: number,
  still: readonly JudgedVial[],
  judged: JudgedVial,
): boolean {
  const own = measurement.vials[judged.index]?.halvesDeltaE;
  if (own === undefined) return false;
  const usual = median(
    still
      .filter((other) => other.index !== judged.index)
      .flatMap((other) =>
        framesAbout(other, timeS).map((frame) => measurement.vials[other.index]?.halvesDeltaE[frame] ?? null),
      ),
  );
  const about = framesAbout(judged, timeS);
  const apart = about.filter((frame) => (own[frame] ?? 0) - (usual ?? 0) > layersDeltaE);
  return about.length > 0 && apart.length / about.length > shareOfFrames;
}

const offPathAt = (judged: JudgedVial, frame: number): boolean =>
  (judged.series.flags[frame] ?? '').split(' ').includes('off-path');

/** Whether most frames about the reading time lie off the colour path. */
function isOffPath(readAtS: number, judged: JudgedVial): boolean {
  const about = framesAbout(judged, readAtS);
  const off = about.filter((frame) => offPathAt(judged, frame));
  return about.length > 0 && off.length / about.length > shareOfFrames;
}

/** Whether the vial was seen beyond half-way in frames whose colours are those of the reaction: what came later does not undo it. */
function hadTurned(judged: JudgedVial): boolean {
  const { extent, frame } = judged.usable;
  const seen = extent.filter((value, i) => value > turnedExtent && !offPathAt(judged, frame[i]!));
  return seen.length >= framesLookedAt;
}
