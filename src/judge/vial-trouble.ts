import { nearestIndices } from './nearest-indices.ts';
import { knownMedian } from './robust.ts';
import type { Situation } from './situation.ts';
import type { JudgedVial } from './types.ts';

/**
 * Growth of the colour difference between upper and lower half of the liquid that counts as two layers, OKLab units.
 * Chosen: about twice what an eye sees at an edge (0.02), above what shading adds as a vial changes colour.
 */
export const layersDeltaE = 0.04;
/** Share of the frames about the reading time that must show it. */
const shareOfFrames = 0.5;

/** Frames (positions in Measurement.frames) about a time since dosing: the nearest nine usable ones. */
function framesAbout(judged: JudgedVial, timeS: number): readonly number[] {
  return nearestIndices(judged.usable.timeS, timeS, 9).map((i) => judged.usable.frame[i]!);
}

/** Whether the vial shows two liquid layers at the reading time: halves that differ more than those of still vials do. */
export function hasTwoLayers(situation: Situation, judged: JudgedVial): boolean {
  const { measurement } = situation.input;
  const timeS = situation.readingTime.readAtS;
  const own = measurement.vials[judged.index]?.halvesDeltaE;
  if (own === undefined) return false;
  const usual = knownMedian(
    [...situation.negatives, ...situation.blanks]
      .filter((other) => other.index !== judged.index)
      .flatMap((other) =>
        framesAbout(other, timeS).map((frame) => measurement.vials[other.index]?.halvesDeltaE[frame] ?? null),
      ),
  );
  const about = framesAbout(judged, timeS);
  const apart = about.filter((frame) => (own[frame] ?? 0) - (usual ?? 0) > layersDeltaE);
  return about.length > 0 && apart.length / about.length > shareOfFrames;
}

/** Whether most frames about the reading time lie off the colour path. */
export function isOffPath(situation: Situation, judged: JudgedVial): boolean {
  const about = framesAbout(judged, situation.readingTime.readAtS);
  const off = about.filter((frame) => (judged.series.flags[frame] ?? '').split(' ').includes('off-path'));
  return about.length > 0 && off.length / about.length > shareOfFrames;
}
