import type { CropKind, CropRequest, Pooling } from '../../model/frame.ts';
import type { PixelFormat } from '../pixel-format.ts';
import { type Rect, toStored, toUpright, type Turn } from '../upright.ts';

/** A stretch of one region inside the picture that ffmpeg hands over; all in luma pixels, even where chroma is coarse. */
export interface Piece {
  /** In the picture handed over. */
  readonly stackX: number;
  readonly stackY: number;
  readonly width: number;
  readonly height: number;
  /** In the stored rectangle of the region. */
  readonly offsetX: number;
  readonly offsetY: number;
}

export interface PlannedRegion {
  readonly id: string;
  readonly kind: CropKind;
  readonly stored: Rect;
  readonly upright: Rect;
  readonly pieces: readonly Piece[];
  readonly pixelsPerSample: Pooling;
}

export interface CropPlan {
  readonly format: PixelFormat;
  readonly turn: Turn;
  /** Size of the stored picture. */
  readonly frame: { readonly width: number; readonly height: number };
  /** Size of the picture handed over. */
  readonly width: number;
  readonly height: number;
  /** Filter from `[in]` to `[out]`. */
  readonly filter: string;
  readonly regions: readonly PlannedRegion[];
}

/** Share of the frame from which the whole of it is handed over; measured: stacking stops paying near half. */
const wholeFrameShare = 0.45;

/**
 * Plans which parts of the stored picture ffmpeg cuts out. Regions are stacked in one column of equal width: each is
 * cut a little wider than asked (no padding filter, which would touch the pixel format), and a very wide one in slices.
 * `whole`: the whole picture is at hand.
 */
export function planCrops(
  crops: readonly CropRequest[],
  frame: { readonly width: number; readonly height: number },
  format: PixelFormat,
  turn: Turn,
  whole = false,
): CropPlan {
  const finest = format.chromaX * format.chromaY > 1 ? 2 : 1;
  const poolings = crops.map(({ pooling }) => (format.model === 'ycbcr' ? larger(pooling ?? 1, finest) : 1));
  // Every cut begins and ends on the coarsest grid, so that no sample is split between two slices of a region.
  const coarsest = poolings.reduce(larger, finest);
  const limit = { width: floorTo(coarsest, frame.width), height: floorTo(coarsest, frame.height) };
  const targets = crops.map((crop, at) => {
    const pixelsPerSample = poolings[at]!;
    const stored = alignOutward(toStored(crop, frame.width, frame.height, turn), pixelsPerSample, limit);
    return { crop, stored, upright: toUpright(stored, frame.width, frame.height, turn), pixelsPerSample };
  });
  const base = { format, turn, frame } as const;
  const area = targets.reduce((sum, { stored }) => sum + stored.width * stored.height, 0);
  const column = columnWidth(
    targets.map(({ stored }) => stored),
    coarsest,
    limit.width,
  );
  if (whole || targets.length === 0 || area >= wholeFrameShare * frame.width * frame.height) {
    const regions = targets.map(({ crop, stored, upright, pixelsPerSample }) => ({
      ...{ id: crop.id, kind: crop.kind, stored, upright, pixelsPerSample },
      pieces: [
        { stackX: stored.x, stackY: stored.y, width: stored.width, height: stored.height, offsetX: 0, offsetY: 0 },
      ],
    }));
    return { ...base, width: frame.width, height: frame.height, filter: '[in]null[out]', regions };
  }
  const cuts: Rect[] = [];
  let stackY = 0;
  const regions = targets.map(({ crop, stored, upright, pixelsPerSample }) => {
    const pieces: Piece[] = [];
    for (let offsetX = 0; offsetX < stored.width; offsetX += column) {
      const x = Math.min(stored.x + offsetX, limit.width - column);
      cuts.push({ x, y: stored.y, width: column, height: stored.height });
      const width = Math.min(column, stored.width - offsetX);
      pieces.push({ stackX: stored.x + offsetX - x, stackY, width, height: stored.height, offsetX, offsetY: 0 });
      stackY += stored.height;
    }
    return { id: crop.id, kind: crop.kind, stored, upright, pixelsPerSample, pieces };
  });
  return { ...base, width: column, height: stackY, filter: stackFilter(cuts), regions };
}

function stackFilter(cuts: readonly Rect[]): string {
  const crop = (cut: Rect): string => `crop=${cut.width}:${cut.height}:${cut.x}:${cut.y}`;
  if (cuts.length === 1) return `[in]${crop(cuts[0]!)}[out]`;
  const inputs = cuts.map((_, i) => `[i${i}]`).join('');
  const chains = cuts.map((cut, i) => `[i${i}]${crop(cut)}[o${i}]`).join(';');
  const outputs = cuts.map((_, i) => `[o${i}]`).join('');
  return `[in]split=${cuts.length}${inputs};${chains};${outputs}vstack=inputs=${cuts.length}[out]`;
}

function alignOutward(rect: Rect, grid: number, limit: { readonly width: number; readonly height: number }): Rect {
  const left = Math.min(Math.floor(rect.x / grid) * grid, limit.width - grid);
  const top = Math.min(Math.floor(rect.y / grid) * grid, limit.height - grid);
  const right = Math.min(Math.ceil((rect.x + rect.width) / grid) * grid, limit.width);
  const bottom = Math.min(Math.ceil((rect.y + rect.height) / grid) * grid, limit.height);
  return { x: left, y: top, width: Math.max(grid, right - left), height: Math.max(grid, bottom - top) };
}

/** The width of the column, a whole number of grid steps, that hands over the fewest pixels. */
function columnWidth(rects: readonly Rect[], grid: number, limit: number): number {
  const cost = (width: number): number =>
    rects.reduce((sum, rect) => sum + Math.ceil(rect.width / width) * width * rect.height, 0);
  const whole = (width: number): number => Math.min(limit, Math.ceil(width / grid) * grid);
  const widths = [...new Set(rects.map((rect) => whole(rect.width)))].filter((width) => width >= 16);
  let best = whole(Math.max(0, ...rects.map((rect) => rect.width)));
  for (const width of widths) if (cost(width) < cost(best)) best = width;
  return best;
}

const larger = (first: Pooling, second: Pooling): Pooling => (first > second ? first : second);
const floorTo = (grid: number, value: number): number => value - (value % grid);
