import type { RegionPixels } from '../model/frame.ts';
import type { Shift } from '../model/shift.ts';
import { templatePixels } from './crop-margin.ts';
import { fitSimilarity } from './fit-similarity.ts';
import type { Displacement } from './fit-similarity.ts';
import { type Part, smoothGrey, smoothPart } from './grey-image.ts';
import { makeTemplate, refineShift } from './patch-registration.ts';
import type { PatchShift, Template } from './patch-registration.ts';
import { searchShift } from './search-shift.ts';

/** A frame's shift against the reference frame. */
export interface TrackedShift extends Shift {
  /** 0..1: share of the anchors found again and agreeing, times how alike they look. 0: not found, the shift is the last one known. */
  readonly confidence: number;
  /** Anchors that agree with the shift. */
  readonly anchors: number;
}

export interface Tracker {
  /** Anchors with enough texture to be followed. */
  readonly anchors: number;
  /** Frames in order of time; looks only at regions of kind `anchor`. */
  track(regions: readonly RegionPixels[]): TrackedShift;
}

/** Correlation below which the whole margin is searched again, and below which an anchor counts as not found. Chosen on drawn pictures. */
const searchBelow = 0.85;
const lostBelow = 0.6;

interface Anchor {
  readonly template: Template;
  readonly grey: Float32Array;
  readonly scratch: Float32Array;
}

/**
 * Follows the camera by still patches, always against the reference frame (the first used one), so that errors do not add up.
 * @param reference pixels of the reference frame; others than anchors are ignored
 * @param frame upright frame size: rotation and scale are about its centre
 */
export function createTracker(
  reference: readonly RegionPixels[],
  frame: { readonly width: number; readonly height: number },
): Tracker {
  const anchors = new Map<string, Anchor>();
  for (const pixels of reference) {
    if (pixels.kind !== 'anchor') continue;
    const anchor = makeAnchor(pixels, frame.width);
    if (anchor !== null) anchors.set(pixels.id, anchor);
  }
  let last: Shift = { dx: 0, dy: 0, rotation: 0, scale: 1 };

  return {
    anchors: anchors.size,
    track(regions) {
      const displacements: Displacement[] = [];
      const correlations: number[] = [];
      for (const pixels of regions) {
        const anchor = anchors.get(pixels.id);
        if (anchor === undefined || pixels.kind !== 'anchor') continue;
        const step = pixels.pixelsPerSample;
        const x = pixels.x + anchor.template.centroid[0] * step - frame.width / 2;
        const y = pixels.y + anchor.template.centroid[1] * step - frame.height / 2;
        const found = register(anchor, pixels, expectedAt(last, x, y));
        if (found === null || found.correlation < lostBelow) continue;
        displacements.push({
          x,
          y,
          dx: found.dx * step,
          dy: found.dy * step,
          information: found.information.map((value) => value / step ** 2) as unknown as [number, number, number],
        });
        correlations.push(found.correlation);
      }
      const fit = fitSimilarity(displacements);
      if (fit === null) return { ...last, confidence: 0, anchors: 0 };
      last = fit.shift;
      let agreeing = 0;
      let likeness = 0;
      fit.weights.forEach((weight, index) => {
        if (weight < 0.1) return;
        agreeing += 1;
        likeness += correlations[index]!;
      });
      return { ...fit.shift, confidence: likeness / anchors.size, anchors: agreeing };
    },
  };
}

function makeAnchor(pixels: RegionPixels, frameWidth: number): Anchor | null {
  const grey = new Float32Array(pixels.red.length);
  const scratch = new Float32Array(pixels.red.length);
  smoothGrey(pixels, grey, scratch);
  // Whatever lies around the square that is compared is room for a nudge.
  const margin = Math.round((pixels.width - templatePixels(frameWidth) / pixels.pixelsPerSample) / 2);
  const template = makeTemplate(grey, pixels.width, pixels.height, margin);
  return template === null ? null : { template, grey, scratch };
}

function expectedAt(shift: Shift, x: number, y: number): readonly [number, number] {
  const a = shift.scale * Math.cos(shift.rotation) - 1;
  const b = shift.scale * Math.sin(shift.rotation);
  return [shift.dx + a * x - b * y, shift.dy + a * y + b * x];
}

/** Samples by which an anchor may stand off from where it is expected before its whole crop is looked at. Chosen: a steady camera's moves by far. */
const usualSurprise = 2;

function register(anchor: Anchor, pixels: RegionPixels, expected: readonly [number, number]): PatchShift | null {
  const { template, grey, scratch } = anchor;
  const { width, height, pixelsPerSample: step } = pixels;
  const start = [expected[0] / step, expected[1] / step] as const;
  const likely = partAround(template, start, pixels);
  smoothPart(pixels, likely, grey, scratch);
  const found = refineShift(template, grey, width, likely, start);
  if (found !== null && found.correlation >= searchBelow) return found;
  const whole = { left: 0, top: 0, right: width, bottom: height };
  smoothPart(pixels, whole, grey, scratch);
  const near = refineShift(template, grey, width, whole, start);
  if (near !== null && near.correlation >= searchBelow) return near;
  const coarse = searchShift(template, grey, width, height);
  const wide = refineShift(template, grey, width, whole, coarse);
  if (near === null || wide === null) return near ?? wide;
  return wide.correlation > near.correlation ? wide : near;
}

/** What a template that lies about there is compared with, and some more. */
function partAround(template: Template, [dx, dy]: readonly [number, number], { width, height }: RegionPixels): Part {
  const within = (at: number, most: number): number => Math.min(most, Math.max(0, at));
  const [left, top] = [Math.floor(template.left + dx) - usualSurprise, Math.floor(template.top + dy) - usualSurprise];
  const more = 2 * usualSurprise + 1;
  return {
    left: within(left, width),
    top: within(top, height),
    right: within(left + template.width + more, width),
    bottom: within(top + template.height + more, height),
  };
}
