import { createReadingColumns, type ReadingColumns, type RegionReader } from './colour/index.ts';
import type { OpenSource } from './frames/index.ts';
import type { CameraSettings, CropRequest, FramePixels, RegionPixels } from './model/frame.ts';
import { createTracker, sharpnessOf, type Tracker, type TrackedShift } from './motion/index.ts';

/** A region to be read: the pixels it needs and what reads them. */
export interface MeasuredCrop {
  readonly crop: CropRequest;
  readonly reader: RegionReader;
}

export interface ReadRequest {
  readonly source: OpenSource;
  readonly measured: readonly MeasuredCrop[];
  readonly anchors: readonly CropRequest[];
  readonly onFrame: (done: number, total: number | null) => void;
  /** Let a film be decoded in two halves at once (the default); the readings are the same either way. */
  readonly twoDecoders?: boolean;
}

/** All frames in order of time; arrays over usable frames, `readings` over regions and then stretches of frames. */
export interface ReadFrames {
  readonly readings: readonly (readonly ReadingColumns[])[];
  readonly timeRunS: readonly number[];
  readonly index: readonly number[];
  readonly settings: readonly (CameraSettings | null)[];
  readonly shifts: readonly (TrackedShift | null)[];
  /** Detail of the still patches, see {@link sharpnessOf}. */
  readonly sharpness: readonly (number | null)[];
  readonly rejected: { index: number; timeRunS: number | null; reason: string }[];
  readonly framesRead: number;
  /** Whether the camera could be followed at all. */
  readonly followed: boolean;
}

type Usable = Extract<FramePixels, { kind: 'frame' }>;

/** What follows one stretch of frames in order of time. */
interface Follower {
  readonly readers: readonly RegionReader[];
  readonly tracker: Tracker | null;
  /** What was read, by region. */
  readonly columns: readonly ReadingColumns[];
  readonly rows: Row[];
}

interface Row {
  readonly frame: Pick<Usable, 'index' | 'timeRunS' | 'settings'>;
  readonly shift: TrackedShift | null;
  readonly sharpness: number | null;
}

/**
 * Reads every frame's regions. Two stretches may come at once; each has its own readers and tracker, begun anew at the
 * same frame however many decoders run, so that the numbers do not depend on them.
 */
export async function readFrames(request: ReadRequest): Promise<ReadFrames> {
  const { source, measured, anchors } = request;
  const frameSize = { width: source.info.width, height: source.info.height };
  const followers: Follower[] = [];
  const rejected: ReadFrames['rejected'] = [];
  let reference: readonly RegionPixels[] | null = null;
  let framesRead = 0;
  const crops = [...measured.map(({ crop }) => crop), ...anchors];
  for await (const one of source.frames(crops, { anyOrder: request.twoDecoders ?? true })) {
    framesRead += 1;
    request.onFrame(framesRead, source.info.frameCount);
    if (one.kind === 'rejected') {
      const named = one.file === null ? one.reason : `${one.file}: ${one.reason}`;
      rejected.push({ index: one.index, timeRunS: one.timeRunS, reason: named });
      continue;
    }
    reference ??= anchors.length === 0 ? [] : one.regions.filter(({ kind }) => kind === 'anchor').map(copyOf);
    const stretch = source.stretchStarts.filter((start) => start <= one.index).length;
    const follower = (followers[stretch] ??= {
      readers: measured.map(({ reader }) => reader.fresh()),
      tracker: followable(createTracker(reference, frameSize)),
      columns: measured.map(createReadingColumns),
      rows: [],
    });
    readFrame(one, measured, follower);
  }
  // Within a stretch frames come in order of time, and stretches are numbered so.
  const stretches = followers.filter((follower) => follower !== undefined);
  const rows = stretches.flatMap((stretch) => stretch.rows);
  return {
    readings: measured.map((_, place) => stretches.map(({ columns }) => columns[place]!)),
    timeRunS: rows.map(({ frame }) => frame.timeRunS),
    index: rows.map(({ frame }) => frame.index),
    settings: rows.map(({ frame }) => frame.settings),
    shifts: rows.map(({ shift }) => shift),
    sharpness: rows.map(({ sharpness }) => sharpness),
    rejected,
    framesRead,
    followed: stretches.some(({ tracker }) => tracker !== null),
  };
}

const followable = (tracker: Tracker): Tracker | null => (tracker.anchors === 0 ? null : tracker);

function readFrame(one: Usable, measured: readonly MeasuredCrop[], follower: Follower): void {
  const { readers, tracker, columns, rows } = follower;
  const shift = tracker === null ? null : tracker.track(one.regions);
  const pixels = new Map(one.regions.map((region) => [region.id, region]));
  measured.forEach(({ crop }, place) => {
    const found = pixels.get(crop.id);
    columns[place]!.push(found === undefined ? null : readers[place]!.read(found, shift ?? undefined));
  });
  const frame = { index: one.index, timeRunS: one.timeRunS, settings: one.settings };
  rows.push({ frame, shift, sharpness: sharpnessOf(one.regions) });
}

/** The decoder's arrays are overwritten by the next frame. */
function copyOf(pixels: RegionPixels): RegionPixels {
  return { ...pixels, red: pixels.red.slice(), green: pixels.green.slice(), blue: pixels.blue.slice() };
}
