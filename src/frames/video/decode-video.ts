import type { CropRequest, RegionPixels, RgbImage } from '../../model/frame.ts';
import { planeConverter, planesToImage } from './convert-planes.ts';
import { type CropPlan, planCrops } from './crop-plan.ts';
import { type Decoder, startDecoder } from './decoder-process.ts';
import type { VideoPart } from './video-part.ts';

/** A frame of one part: position in it, playback time from its first frame, pixels or `null` with the reason. */
export interface VideoFrame {
  readonly position: number;
  readonly timeS: number;
  readonly regions: readonly RegionPixels[] | null;
  readonly reason: string | null;
}

export interface DecodeOptions {
  readonly keyFramesOnly: boolean;
  /** Frames from this position on are not wanted; `null`: all. */
  readonly endPosition: number | null;
  /** Two decoders on two halves; frames of the halves alternate. */
  readonly split: boolean;
  readonly signal?: AbortSignal | undefined;
}

/** A stretch of the film decoded by one ffmpeg: positions `from` up to, not including, `to`. */
interface Stretch {
  readonly from: number;
  to: number;
  readonly decoder: Decoder;
  readonly convert: () => RegionPixels[];
  /** Next position expected. */
  expected: number;
  decoded: number;
  /** Pictures before this position are not to be trusted, after a complaint of the decoder. */
  soundFrom: number;
}

/** Fewer frames are not worth a second process. Chosen: starting one costs about 0.1 s, some 60 frames of 1080p. */
const splitFrames = 120;

/** Decodes the crops of every frame of one film. Pixels hold until the next frame is asked for. */
export async function* decodeVideo(
  part: VideoPart,
  crops: readonly CropRequest[],
  options: DecodeOptions,
): AsyncGenerator<VideoFrame> {
  const frame = { width: part.facts.storedWidth, height: part.facts.storedHeight };
  const plan = planCrops(crops, frame, part.format, part.facts.rotation);
  const end = Math.min(options.endPosition ?? Infinity, part.times?.length ?? Infinity);
  const middle = options.split ? splitPosition(part, end) : null;
  const first = startStretch(part, plan, 0, end, middle === null ? 2 : 1, options);
  const second = middle === null ? null : startStretch(part, plan, middle, end, 1, options);
  try {
    const beyond = second === null ? null : await beginning(part, second);
    if (second === null || beyond === null) {
      yield* readStretch(part, first, options, null);
      return;
    }
    first.to = second.from;
    // The first usable picture comes first whatever the second decoder does: motion is told against it.
    const early = readStretch(part, first, options, null);
    for (let next = await early.next(); next.done !== true; next = await early.next()) {
      yield next.value;
      if (next.value.regions !== null) break;
    }
    yield* alternate(early, readStretch(part, second, options, beyond));
  } finally {
    await Promise.all([first.decoder.close(), second?.decoder.close()]);
  }
}

/** The key frame nearest the middle, when both sides are then worth a process; positions count up to `end`. */
export function splitPosition(part: VideoPart, end: number): number | null {
  if (part.times === null || !Number.isFinite(end) || end < splitFrames) return null;
  const middle = end / 2;
  const nearest = part.keyFrames.reduce(
    (best, key) => (Math.abs(key - middle) < Math.abs(best - middle) ? key : best),
    0,
  );
  return nearest > 0.2 * end && nearest < 0.8 * end ? nearest : null;
}

function startStretch(
  part: VideoPart,
  plan: CropPlan,
  from: number,
  to: number,
  threads: number,
  options: DecodeOptions,
): Stretch {
  const decoder = startDecoder({
    ...{ program: part.program, file: part.file, streamIndex: part.facts.streamIndex, plan, threads },
    seekS: from === 0 ? null : seekTarget(part, from),
    keyFramesOnly: options.keyFramesOnly,
    version: part.version,
    signal: options.signal,
  });
  const convert = planeConverter(plan, part.chosen.conversion, decoder.bytes);
  return { from, to, decoder, convert, expected: from, decoded: 0, soundFrom: from };
}

/**
 * Where to seek so that decoding starts at key frame `position`: just past it (just before it, the previous group
 * would be decoded too). ffmpeg of before 2020 seeks 3/23 s early in containers that seek by decoding time.
 */
function seekTarget(part: VideoPart, position: number): number {
  const times = part.times!;
  const next = part.keyFrames[part.keyFrames.indexOf(position) + 1];
  const room = (next === undefined ? times.at(-1)! : times[next]!) - times[position]!;
  const margin = Math.min(0.5 * part.frameS + 3 / 23, 0.5 * room);
  // ffmpeg counts from the start of the file, which need not be that of the video stream.
  return part.originS - part.facts.startS + times[position]! + margin;
}

/** Position of a decoded picture; by time where the container has times, else by count. */
function positionOf(part: VideoPart, timeS: number | null, count: number): number {
  const times = part.times;
  if (times === null || timeS === null) return count;
  const wanted = timeS - part.originS;
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if (times[mid]! <= wanted + 1e-6) low = mid;
    else high = mid - 1;
  }
  return Math.abs(times[low]! - wanted) < 1e-4 ? low : -1;
}

/** Reads up to the stretch's first picture; `null` when seeking missed it and the stretch is of no use. */
async function beginning(part: VideoPart, stretch: Stretch): Promise<Arrival | null> {
  const arrival = await nextPicture(part, stretch);
  return arrival !== null && arrival.position === stretch.from ? arrival : null;
}

interface Arrival {
  readonly position: number;
  readonly damaged: boolean;
}

/** The next picture of the stretch; pictures shown before it (leading ones of an open group) are passed over. */
async function nextPicture(part: VideoPart, stretch: Stretch): Promise<Arrival | null> {
  for (;;) {
    const raw = await stretch.decoder.next();
    if (raw === null) return null;
    const position = positionOf(part, raw.timeS, stretch.from + stretch.decoded);
    stretch.decoded++;
    if (position >= stretch.expected) return { position, damaged: raw.damaged };
  }
}

async function* readStretch(
  part: VideoPart,
  stretch: Stretch,
  options: DecodeOptions,
  begun: Arrival | null,
): AsyncGenerator<VideoFrame> {
  let arrival = begun ?? (await nextPicture(part, stretch));
  while (arrival !== null && arrival.position < stretch.to) {
    const { position, damaged } = arrival;
    if (!options.keyFramesOnly) yield* missing(part, stretch.expected, position, stretch.decoder.complaints());
    const timeS = timeOf(part, position);
    stretch.expected = position + 1;
    if (damaged) stretch.soundFrom = soundAgain(part, position);
    yield position < stretch.soundFrom
      ? {
          position,
          timeS,
          regions: null,
          reason: 'damaged in the film (the decoder had to guess parts of the picture)',
        }
      : { position, timeS, regions: stretch.convert(), reason: null };
    if (position + 1 >= stretch.to) return;
    arrival = await nextPicture(part, stretch);
  }
  if (!options.keyFramesOnly && Number.isFinite(stretch.to)) {
    yield* missing(part, stretch.expected, stretch.to, stretch.decoder.complaints());
  }
}

/** Pictures between a complaint and the damaged picture's own turn: reordering and decoder threads. Chosen: 4 + 4. */
const complaintLead = 8;

/** Damage is handed on from picture to picture until the next key frame. */
function soundAgain(part: VideoPart, position: number): number {
  return part.keyFrames.find((key) => key >= position + complaintLead) ?? Infinity;
}

function* missing(part: VideoPart, from: number, to: number, complaints: string): Generator<VideoFrame> {
  const detail = complaints === '' ? '' : ` (${complaints.slice(0, 120)})`;
  for (let position = from; position < to; position++) {
    yield { position, timeS: timeOf(part, position), regions: null, reason: `could not be decoded${detail}` };
  }
}

function timeOf(part: VideoPart, position: number): number {
  return part.times?.[position] ?? position * part.frameS;
}

/** Takes from both in turn, waiting for whichever is ready, so that both decoders stay busy. */
async function* alternate<T>(...sources: readonly AsyncGenerator<T>[]): AsyncGenerator<T> {
  const pending = new Map(sources.map((source) => [source, tagged(source)]));
  while (pending.size > 0) {
    const { source, result } = await Promise.race(pending.values());
    pending.delete(source);
    if (result.done === true) continue;
    yield result.value;
    // Asked for the next one only now that this one's pixels were used; last in line, so that neither side starves.
    pending.set(source, tagged(source));
  }
}

async function tagged<T>(source: AsyncGenerator<T>): Promise<{ source: AsyncGenerator<T>; result: IteratorResult<T> }> {
  return { source, result: await source.next() };
}

/** One whole upright picture, the one shown at `position`. */
export async function videoStill(part: VideoPart, position: number): Promise<RgbImage | null> {
  const plan = planCrops(
    [],
    { width: part.facts.storedWidth, height: part.facts.storedHeight },
    part.format,
    part.facts.rotation,
  );
  const key = part.keyFrames.filter((at) => at <= position).at(-1) ?? 0;
  const stretch = startStretch(part, plan, part.times === null ? 0 : key, Infinity, 2, {
    ...{ keyFramesOnly: false, endPosition: null, split: false },
  });
  try {
    for (let arrival = await nextPicture(part, stretch); arrival !== null; arrival = await nextPicture(part, stretch)) {
      if (arrival.position >= position) return planesToImage(plan, part.chosen.conversion, stretch.decoder.bytes);
    }
    return null;
  } finally {
    await stretch.decoder.close();
  }
}
