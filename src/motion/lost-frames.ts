import { upperMedian } from '../numeric/median.ts';
import type { Column } from '../model/measurement.ts';

/** Confidence relative to the usual one below which the anchors count as lost. Chosen: fewer than two of five seen. */
const lostConfidence = 0.4;
/** Parts of the run that are looked at for the usual confidence. */
const parts = 4;

/**
 * In which frames the camera was not followed: the still places were hidden, or the picture moved too fast or too far.
 * What is usual is told by the part of the run that was followed best: the camera may be lost for most of it.
 * @param confidence by frame, 0..1; `null` without anchors
 */
export function lostFrames(confidence: Column): boolean[] {
  const length = Math.ceil(confidence.length / parts);
  const usual = Math.max(
    0,
    ...Array.from({ length: parts }, (_, part) =>
      confidence.slice(part * length, (part + 1) * length).filter((value) => value !== null),
    )
      .filter((known) => known.length > 0)
      .map(upperMedian),
  );
  return confidence.map((value) => value !== null && usual > 0 && value < lostConfidence * usual);
}
