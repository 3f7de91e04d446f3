import type { CropRequest, RegionPixels } from '../../model/frame.ts';
import { type Cut, emptyPlanes, type Planes, pooledPlanes } from '../../model/pooled-planes.ts';
import type { Rect } from '../upright.ts';
import type { GoodStill } from './still-facts.ts';
import { convertRow, type ProfileConversion } from './to-srgb.ts';

/** Frame pixels along each axis that one decoded sample is the mean of. */
export type Unit = 1 | 2 | 4;

/** Decoded samples of a part of a picture, interleaved R'G'B'. */
export interface DecodedBox {
  /** Frame pixels, upright. */
  readonly box: Rect;
  readonly unit: Unit;
  readonly samples: Uint8Array | Uint16Array;
  /** Largest code. */
  readonly maximum: number;
}

/**
 * At what size a picture may be decoded for these crops. A JPEG at half its size where every region is pooled anyway and all lie on
 * whole means of 2 x 2; at a quarter, for half the work of the pixels, where every region is pooled by eight, so that a
 * sample's share of its neighbours is lost inside the region.
 */
export function unitFor({ format, width, height, heic }: GoodStill, crops: readonly CropRequest[]): Unit {
  const whole = (by: number, ...values: readonly number[]): boolean => values.every((value) => value % by === 0);
  if (format !== 'jpeg' || heic) return 1;
  const pooledBy = (least: number): boolean =>
    crops.every(({ kind, pooling }) => kind === 'anchor' || (pooling ?? 1) >= least);
  if (pooledBy(8) && whole(4, width, height)) return 4;
  const even = whole(2, width, height) && crops.every((crop) => whole(2, crop.x, crop.y, crop.width, crop.height));
  return even && pooledBy(2) ? 2 : 1;
}

/** The rectangle that is cut for a crop: itself, or with quarters grown to whole samples. */
function cutFor(crop: CropRequest, unit: Unit, { width, height }: Pick<GoodStill, 'width' | 'height'>): Rect {
  if (unit < 4) return crop;
  const grid = Math.max(unit, crop.pooling ?? 1);
  const [right, bottom] = [width - (width % grid), height - (height % grid)];
  const down = (value: number): number => value - (value % grid);
  const up = (value: number, limit: number): number => Math.min(limit, grid * Math.ceil(value / grid));
  const [x, y] = [Math.min(down(crop.x), right - grid), Math.min(down(crop.y), bottom - grid)];
  return { x, y, width: up(crop.x + crop.width, right) - x, height: up(crop.y + crop.height, bottom) - y };
}

/** The smallest rectangle around all that is cut. */
export function boxAround(crops: readonly CropRequest[], unit: Unit, facts: GoodStill): Rect {
  const cuts = crops.map((crop) => cutFor(crop, unit, facts));
  const x = Math.min(...cuts.map((cut) => cut.x));
  const y = Math.min(...cuts.map((cut) => cut.y));
  const right = Math.max(...cuts.map((cut) => cut.x + cut.width));
  const bottom = Math.max(...cuts.map((cut) => cut.y + cut.height));
  return { x, y, width: right - x, height: bottom - y };
}

/** Cuts the crops out of decoded samples, as encoded R'G'B', pooled as asked. `profile`: see `readCrops`. */
export function cutCrops(
  { box, unit, samples, maximum }: DecodedBox,
  facts: GoodStill,
  crops: readonly CropRequest[],
  profile: ProfileConversion | null,
): readonly RegionPixels[] {
  return crops.map((crop) => {
    const cut = cutFor(crop, unit, facts);
    const side = Math.max(1, (crop.pooling ?? 1) / unit);
    const [width, height] = [Math.floor(cut.width / unit / side), Math.floor(cut.height / unit / side)];
    const stride = 3 * (box.width / unit);
    const from = ((cut.y - box.y) / unit) * stride + 3 * ((cut.x - box.x) / unit);
    const pixels = { from, stride, side, width, height };
    const planes =
      profile === null ? pooledPlanes(samples, pixels, maximum) : pooledConverted(samples, pixels, profile);
    return {
      ...{ id: crop.id, kind: crop.kind, x: cut.x, y: cut.y, width, height },
      pixelsPerSample: side * unit,
      ...planes,
    };
  });
}

/** Means of pixels that are converted to sRGB one by one first. */
function pooledConverted(
  samples: Uint8Array | Uint16Array,
  { from, stride, side, width, height }: Cut,
  profile: ProfileConversion,
): Planes {
  const planes = emptyPlanes(width * height);
  const line = emptyPlanes(width * side);
  for (let row = 0; row < height * side; row++) {
    convertRow(profile, samples, from + row * stride, width * side, line, 0);
    const at = Math.floor(row / side) * width;
    for (const plane of ['red', 'green', 'blue'] as const) poolRow(line[plane], side, width, planes[plane], at);
  }
  return planes;
}

/** Adds one row of pixels to the row of samples that it is part of, as shares of their means. */
function poolRow(line: Float32Array, side: number, width: number, into: Float32Array, at: number): void {
  if (side === 1) {
    into.set(line, at);
    return;
  }
  const share = 1 / (side * side);
  for (let column = 0, from = 0; column < width; column++) {
    let sum = 0;
    for (const end = from + side; from < end; from++) sum += line[from]!;
    into[at + column]! += share * sum;
  }
}
