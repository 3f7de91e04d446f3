import type { CropRequest } from '../model/frame.ts';
import { boundingBox } from '../model/region-box.ts';
import type { Region } from '../model/region.ts';
import { cropMarginPixels, templatePixels } from './crop-margin.ts';
import { shrinkGrey } from './grey-image.ts';
import type { GreyImage } from './grey-image.ts';
import { cornerStrength, tensorTables } from './corner-strength.ts';

/** Finding is done on a picture at most this wide: corners that matter are larger than a pixel of it. */
const workingWidth = 1280;
/** Strength (smaller eigenvalue of the mean structure tensor) relative to the best below which a patch is not worth its pixels. Chosen. */
const weakest = 0.002;

/**
 * Textured still patches to follow the camera by: strong in both directions (Shi and Tomasi's smaller eigenvalue), clear of the
 * regions that change colour, spread over the frame, and with room for the margin. Several pictures over the run make patches
 * that do not stay as they are score less. May return fewer than asked for, or none of a featureless frame.
 * @param greys one or more pictures of the frame, all of one size
 * @param avoid regions whose content changes: the liquids
 * @param options.marginPixels room around each, even; left out: that of a usual nudge
 * @param options.frame size of the frame, where the pictures are smaller
 */
export function chooseAnchors(
  greys: GreyImage | readonly GreyImage[],
  avoid: readonly Region[],
  count: number,
  options: {
    readonly marginPixels?: number;
    readonly frame?: { readonly width: number; readonly height: number };
  } = {},
): CropRequest[] {
  const pictures = isList(greys) ? greys : [greys];
  const first = pictures[0];
  if (first === undefined) return [];
  const frame = options.frame ?? { width: first.width, height: first.height };
  const margin = options.marginPixels ?? cropMarginPixels(frame.width);
  const template = templatePixels(frame.width);
  const shrunk = pictures.map((picture) => shrinkGrey(picture, workingWidth));
  const factor = shrunk[0]!.factor * (frame.width / first.width);
  const side = Math.round(template / factor);
  const boxes = avoid.map(boundingBox);
  const candidates: { x: number; y: number }[] = [];
  const step = Math.max(2, Math.round(side / 4));
  const edge = Math.ceil((margin + template / 2) / factor) + 1;
  const { width, height } = shrunk[0]!.image;
  for (let y = edge; y < height - edge; y += step) {
    for (let x = edge; x < width - edge; x += step) {
      const centreX = x * factor;
      const centreY = y * factor;
      // A liquid's light reaches a little beyond its region: a sixth of the template is kept clear.
      const reach = template / 2 + template / 6;
      const touches = boxes.some(
        (box) =>
          centreX + reach > box.left &&
          centreX - reach < box.right &&
          centreY + reach > box.top &&
          centreY - reach < box.bottom,
      );
      if (touches) continue;
      candidates.push({ x, y });
    }
  }
  const strengths = weakestStrengths(shrunk, side, candidates);
  const textured = candidates
    .map(({ x, y }, at) => ({ x: x * factor, y: y * factor, strength: strengths[at]! }))
    .filter(({ strength }) => strength > 0);
  return spread(textured, count, Math.hypot(frame.width, frame.height), template).map(({ x, y }, index) => {
    const even = (value: number): number => 2 * Math.floor(value / 2);
    const size = template + 2 * margin;
    return {
      id: `anchor-${index + 1}`,
      kind: 'anchor',
      x: Math.min(even(frame.width - size), Math.max(0, even(x - size / 2))),
      y: Math.min(even(frame.height - size), Math.max(0, even(y - size / 2))),
      width: size,
      height: size,
    };
  });
}

/** The weakest look counts: what is textured in one picture only does not stand still. */
function weakestStrengths(
  shrunk: readonly { readonly image: GreyImage }[],
  side: number,
  places: readonly { readonly x: number; readonly y: number }[],
): readonly number[] {
  const tables = tensorTables(shrunk[0]!.image);
  let weakest: readonly number[] = places.map(() => Infinity);
  for (const { image } of shrunk) {
    const of = cornerStrength(image, side, tables);
    weakest = places.map(({ x, y }, at) => Math.min(weakest[at]!, of(x, y)));
  }
  return weakest;
}

const isList = (greys: GreyImage | readonly GreyImage[]): greys is readonly GreyImage[] => Array.isArray(greys);

/** Takes the best one by one; the worth of a candidate grows with its distance from those taken (up to a third of the diagonal). */
function spread<T extends { readonly x: number; readonly y: number; readonly strength: number }>(
  candidates: readonly T[],
  count: number,
  diagonal: number,
  template: number,
): T[] {
  const best = Math.max(0, ...candidates.map(({ strength }) => strength));
  const open = candidates.filter(({ strength }) => strength >= weakest * best);
  const chosen: T[] = [];
  const distance = open.map(() => diagonal / 3);
  while (chosen.length < count) {
    let pick = -1;
    let pickWorth = 0;
    for (let index = 0; index < open.length; index += 1) {
      if (distance[index]! < template) continue;
      // The fourth root: a patch a hundred times as strong is worth three times the distance, not a hundred times.
      const worth = open[index]!.strength ** 0.25 * Math.min(distance[index]!, diagonal / 3);
      if (worth > pickWorth) [pick, pickWorth] = [index, worth];
    }
    if (pick < 0) break;
    const taken = open[pick]!;
    chosen.push(taken);
    for (let index = 0; index < open.length; index += 1) {
      distance[index] = Math.min(distance[index]!, Math.hypot(open[index]!.x - taken.x, open[index]!.y - taken.y));
    }
  }
  return chosen;
}
