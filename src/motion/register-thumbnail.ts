import type { CropRequest, RegionPixels } from '../model/frame.ts';
import type { Region } from '../model/region.ts';
import type { Shift } from '../model/shift.ts';
import { chooseAnchors } from './choose-anchors.ts';
import type { GreyImage } from './grey-image.ts';
import { createTracker } from './tracker.ts';

/** Still places looked for in a small picture. Chosen: as many as there is room for between the vials. */
const anchorCount = 8;

/** Where a frame's content lies against a small picture taken earlier. */
export interface PlacedFrame extends Shift {
  /** 0..1, as for a tracked frame; 0: nothing of the small picture was found again. */
  readonly confidence: number;
}

/**
 * Registers a frame with the small grey picture that regions were placed on. Shift in pixels of the frame. `null` when
 * the small picture has nothing to hold on to.
 * @param avoid regions in pixels of the frame, whose content changes
 * @param options.factor pixels of `avoid` in one of the small picture, where `frame` is small itself
 */
export function registerThumbnail(
  thumbnail: GreyImage,
  frame: GreyImage,
  avoid: readonly Region[],
  options: { readonly factor?: number } = {},
): PlacedFrame | null {
  const factor = options.factor ?? frame.width / thumbnail.width;
  const same = frame.width === thumbnail.width && frame.height === thumbnail.height;
  const seen = same ? frame : resized(frame, thumbnail.width, thumbnail.height);
  const size = { width: thumbnail.width, height: thumbnail.height };
  const anchors = chooseAnchors(
    thumbnail,
    avoid.map((region) => smaller(region, factor)),
    anchorCount,
  );
  const tracker = createTracker(
    anchors.map((crop) => cropOf(thumbnail, crop)),
    size,
  );
  if (tracker.anchors === 0) return null;
  const found = tracker.track(anchors.map((crop) => cropOf(seen, crop)));
  const shown = frame.width / thumbnail.width;
  return { ...found, dx: shown * found.dx, dy: shown * found.dy };
}

/** Means over the frame's pixels that a pixel of the small picture covers; parts of pixels count in part. */
function resized(image: GreyImage, width: number, height: number): GreyImage {
  const [perX, perY] = [image.width / width, image.height / height];
  const data = new Float32Array(width * height);
  const across = new Float32Array(width * image.height);
  for (let y = 0; y < image.height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      across[y * width + x] = meanBetween(
        (at) => image.data[y * image.width + at]!,
        x * perX,
        (x + 1) * perX,
        image.width,
      );
    }
  }
  for (let x = 0; x < width; x += 1) {
    for (let y = 0; y < height; y += 1) {
      data[y * width + x] = meanBetween((at) => across[at * width + x]!, y * perY, (y + 1) * perY, image.height);
    }
  }
  return { width, height, data };
}

function meanBetween(value: (at: number) => number, from: number, to: number, end: number): number {
  let sum = 0;
  for (let at = Math.floor(from); at < Math.min(end, Math.ceil(to - 1e-9)); at += 1) {
    sum += value(at) * (Math.min(to, at + 1) - Math.max(from, at));
  }
  return sum / (to - from);
}

function cropOf(image: GreyImage, crop: CropRequest): RegionPixels {
  const scale = image.data instanceof Uint8Array ? 1 / 255 : 1;
  const grey = new Float32Array(crop.width * crop.height);
  for (let row = 0; row < crop.height; row += 1) {
    for (let column = 0; column < crop.width; column += 1) {
      grey[row * crop.width + column] = scale * image.data[(crop.y + row) * image.width + crop.x + column]!;
    }
  }
  return { ...crop, pixelsPerSample: 1, red: grey, green: grey, blue: grey };
}

function smaller(region: Region, by: number): Region {
  switch (region.shape) {
    case 'rect':
      return { ...region, x: region.x / by, y: region.y / by, width: region.width / by, height: region.height / by };
    case 'ellipse':
      return { ...region, cx: region.cx / by, cy: region.cy / by, rx: region.rx / by, ry: region.ry / by };
    case 'polygon':
      return { ...region, points: region.points.map(([x, y]) => [x / by, y / by] as const) };
  }
}
