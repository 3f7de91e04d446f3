import { openSource } from '../frames/index.ts';
import { boundsOf, contains } from '../files/region-geometry.ts';
import type { CropRequest, RegionPixels, RgbImage, SourceInfo } from '../model/frame.ts';
import type { Region } from '../model/region.ts';
import type { Run } from '../model/run.ts';
import { checkFrameSize } from './check-frame-size.ts';

/** What one region looks like in one frame: encoded values 0..1. */
export interface RegionLook {
  readonly id: string;
  readonly timeRunS: number;
  /** Mean of green, which carries most of the lightness. */
  readonly green: number;
  /** Share of samples at full scale in any channel, 0..1. */
  readonly full: number;
  /** Share of samples at full scale in all channels, 0..1: reflections of the lamp. */
  readonly glare: number;
}

export interface PreviewGlance {
  readonly info: SourceInfo;
  readonly still: RgbImage;
  readonly looks: readonly RegionLook[];
  readonly rejected: readonly { readonly index: number; readonly reason: string }[];
  readonly framesLookedAt: number;
}

/** Encoded value from which a sample counts as at full scale: 250 of 255, as encoders rarely reach the very top. */
const fullScale = 250 / 255;

/** Opens the source, checks it against the rig and looks at its key frames. */
export async function glanceAt(run: Run, baseDir: string, onFrame: (done: number) => void): Promise<PreviewGlance> {
  const source = await openSource({ parts: run.source, timing: run.timing, baseDir, glance: true });
  try {
    checkFrameSize(run, source.info);
    const regions = [...run.rig.regions, ...run.rig.white];
    const white = new Set(run.rig.white.map(({ id }) => id));
    const crops = regions.map((region) => cropOf(region, white.has(region.id), run.rig.frame));
    // All vials hold their liquid then, and few have turned.
    const still = await source.still(Math.max(0, ...run.vials.map(({ addedRunS }) => addedRunS ?? 0)));
    const looks: RegionLook[] = [];
    const rejected: { readonly index: number; readonly reason: string }[] = [];
    let framesLookedAt = 0;
    for await (const frame of source.frames(crops)) {
      onFrame((framesLookedAt += 1));
      if (frame.kind === 'rejected') rejected.push({ index: frame.index, reason: frame.reason });
      else looks.push(...frame.regions.map((pixels, at) => lookOf(pixels, regions[at]!, frame.timeRunS)));
    }
    return { info: source.info, still: still.image, looks, rejected, framesLookedAt };
  } finally {
    await source.close();
  }
}

function cropOf(region: Region, isWhite: boolean, frame: Run['rig']['frame']): CropRequest {
  const { left, top, right, bottom } = boundsOf(region);
  const x = Math.max(0, Math.floor(left));
  const y = Math.max(0, Math.floor(top));
  return {
    id: region.id,
    kind: isWhite ? 'white' : 'vial',
    x,
    y,
    width: Math.min(frame.width, Math.ceil(right)) - x,
    height: Math.min(frame.height, Math.ceil(bottom)) - y,
  };
}

function lookOf(pixels: RegionPixels, region: Region, timeRunS: number): RegionLook {
  let count = 0;
  let green = 0;
  let full = 0;
  let glare = 0;
  for (let row = 0; row < pixels.height; row += 1) {
    for (let column = 0; column < pixels.width; column += 1) {
      const x = pixels.x + (column + 0.5) * pixels.pixelsPerSample;
      const y = pixels.y + (row + 0.5) * pixels.pixelsPerSample;
      if (!contains(region, [x, y])) continue;
      const at = row * pixels.width + column;
      const values = [pixels.red[at]!, pixels.green[at]!, pixels.blue[at]!];
      count += 1;
      green += values[1]!;
      if (Math.max(...values) >= fullScale) full += 1;
      if (Math.min(...values) >= fullScale) glare += 1;
    }
  }
  const share = (part: number): number => (count === 0 ? 0 : part / count);
  return { id: region.id, timeRunS, green: share(green), full: share(full), glare: share(glare) };
}
