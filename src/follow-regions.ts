import { createRegionReader, fromReference, regionCrop, type TransferName } from './colour/index.ts';
import { boundingBox } from './model/region-box.ts';
import type { OpenSource } from './frames/index.ts';
import { lookAhead, type LookedAhead } from './look-ahead.ts';
import type { Region } from './model/region.ts';
import type { Shift } from './model/shift.ts';
import {
  contradictedFrames,
  cropMarginPixels,
  greyOfImage,
  lostFrames,
  type LostStretch,
  marginForReach,
  registerLook,
  smallLook,
  widestMarginPixels,
} from './motion/index.ts';
import { type MeasuredCrop, readFrames, type ReadFrames } from './read-frames.ts';

export interface FollowRequest {
  readonly source: OpenSource;
  /** What is measured, `id` being that of its crop. */
  readonly measured: readonly { readonly id: string; readonly kind: 'vial' | 'white'; readonly region: Region }[];
  /** Places where nothing to follow the camera by may be looked for. */
  readonly still: readonly Region[];
  /** Pieces of backdrop whose colour is wanted. */
  readonly backdrop: readonly Region[];
  readonly transfer: TransferName;
  readonly onFrame: (done: number, total: number | null) => void;
}

export interface Followed extends ReadFrames, Pick<LookedAhead, 'anchors' | 'stills' | 'backdrop'> {
  /** By frame of the readings: whether the camera was lost in it. */
  readonly lost: readonly boolean[];
  readonly lostStretches: readonly LostStretch[];
  /** Largest move that a frame could be followed over, pixels. */
  readonly followedPx: number;
}

/** Stretches of lost frames of which a picture is looked at; more is a hand that comes and goes. */
const mostLooked = 4;

/**
 * Reads every frame with the regions where the camera shows them. Crops have room for a usual nudge; where a few looks beforehand, or frames in which
 * the camera was lost, show a larger one, they are cut wider (and the frames read again in the latter case).
 */
export async function followRegions(request: FollowRequest): Promise<Followed> {
  const { source } = request;
  const { width } = source.info;
  let margin = cropMarginPixels(width);
  let looked = await lookWith(request, margin, []);
  const wanted = roomFor(
    request,
    looked.moves.map(({ shift }) => shift),
  );
  if (wanted > margin) {
    margin = wanted;
    looked = await lookWith(request, margin, looked.moves);
  }
  for (;;) {
    const { anchors, stills, backdrop, measured, first } = looked;
    const read = await readFrames({ source, measured, anchors, onFrame: request.onFrame });
    const missed = lostFrames(read.shifts.map((shift) => shift?.confidence ?? null));
    const wrong = contradictedFrames(read.timeRunS, read.shifts, looked.moves, missed, width);
    const lost = missed.map((one, at) => one || wrong[at]!);
    const lostStretches = await lookAtLost(request, read.timeRunS, lost, first);
    const needed = roomFor(
      request,
      lostStretches.flatMap(({ shift }) => shift ?? []),
    );
    if (needed <= margin)
      return { ...read, anchors, stills, backdrop, lost, lostStretches, followedPx: widestMarginPixels(width) };
    margin = needed;
    looked = await lookWith(request, margin, looked.moves);
  }
}

async function lookWith(
  { source, measured, still, backdrop, transfer }: FollowRequest,
  margin: number,
  moves: LookedAhead['moves'],
): Promise<LookedAhead & { readonly measured: readonly MeasuredCrop[] }> {
  const frame = { width: source.info.width, height: source.info.height };
  const crops = measured.map(({ id, kind, region }) => {
    const crop = { ...regionCrop(region, kind, frame, margin), id };
    return { crop, reader: createRegionReader(region, crop, { frame, transfer }) };
  });
  const pieces = backdrop.map((region) => regionCrop(region, 'white', frame, 0));
  const looked = await lookAhead({
    ...{ source, still, transfer, measured: crops, backdrop: pieces },
    ...{ marginPixels: margin, moves },
  });
  return { ...looked, measured: crops };
}

/** The margin that holds these moves of what is measured; moves too large for any are left out. */
function roomFor({ source, measured }: FollowRequest, shifts: readonly Shift[]): number {
  const { width, height } = source.info;
  const centre = { x: width / 2, y: height / 2 };
  const reaches = shifts.map((shift) =>
    Math.max(
      0,
      ...measured.flatMap(({ region }) => {
        const box = boundingBox(region);
        const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
        const [toX, toY] = fromReference(shift, centre, x, y);
        return [Math.abs(toX - x), Math.abs(toY - y)];
      }),
    ),
  );
  return marginForReach(Math.max(0, ...reaches.filter((reach) => reach <= widestMarginPixels(width))), width);
}

/** Stretches of lost frames, the longest with what a picture out of their middle tells of the camera's place. */
async function lookAtLost(
  { source, still }: FollowRequest,
  timeRunS: readonly number[],
  lost: readonly boolean[],
  first: LookedAhead['first'],
): Promise<readonly LostStretch[]> {
  const stretches: LostStretch[] = [];
  for (let from = 0; from < lost.length; from += 1) {
    if (lost[from] !== true) continue;
    const end = lost.indexOf(false, from);
    const to = end < 0 ? lost.length - 1 : end - 1;
    stretches.push({
      ...{ fromRunS: timeRunS[from]!, toRunS: timeRunS[to]!, frames: to - from + 1 },
      ...{ toEnd: end < 0, shift: null },
    });
    from = to;
  }
  const longest = [...stretches].sort((one, other) => other.frames - one.frames).slice(0, mostLooked);
  const looked: LostStretch[] = [];
  for (const stretch of stretches) {
    if (!longest.includes(stretch)) {
      looked.push(stretch);
      continue;
    }
    const middle = timeRunS.filter((time) => time >= stretch.fromRunS && time <= stretch.toRunS);
    const { image } = await source.still(middle[middle.length >> 1]!);
    const small = smallLook(greyOfImage(image), first);
    looked.push({ ...stretch, shift: registerLook(first, small, still, source.info.width) });
  }
  return looked;
}
