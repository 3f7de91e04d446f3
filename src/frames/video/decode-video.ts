import type { CropRequest, RegionPixels } from '../../model/frame.ts';
import { planCrops } from './crop-plan.ts';
import { type Arrival, complaintLead, nextPicture, startStretch, type Stretch } from './stretch.ts';
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
  const end = Math.min(options.endPosition ?? Infinity, part.times?.length ?? part.endsAt ?? Infinity);
  const middle = options.split ? splitPosition(part, end) : null;
  const first = startStretch(part, plan, { from: 0, to: end, threads: middle === null ? 2 : 1, ...options });
  const second = middle === null ? null : startStretch(part, plan, { from: middle, to: end, threads: 1, ...options });
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

/** Reads up to the stretch's first picture; `null` when seeking missed it and the stretch is of no use. */
async function beginning(part: VideoPart, stretch: Stretch): Promise<Arrival | null> {
  const arrival = await nextPicture(part, stretch);
  return arrival !== null && arrival.position === stretch.from ? arrival : null;
}

async function* readStretch(
  part: VideoPart,
  stretch: Stretch,
  options: DecodeOptions,
  begun: Arrival | null,
): AsyncGenerator<VideoFrame> {
  let arrival = begun ?? (await nextPicture(part, stretch));
  while (arrival !== null && arrival.position < stretch.to) {
    const { position, damaged, resized } = arrival;
    if (!options.keyFramesOnly) yield* missing(part, stretch.expected, position, stretch.decoder.complaints());
    const timeS = timeOf(part, position);
    stretch.expected = position + 1;
    if (damaged) stretch.soundFrom = soundAgain(part, position);
    const reason = resized ? anotherSize : position < stretch.soundFrom ? guessed : null;
    yield { position, timeS, regions: reason === null ? stretch.convert() : null, reason };
    if (position + 1 >= stretch.to) return;
    arrival = await nextPicture(part, stretch);
  }
  // Without times coded pictures are counted, which may be halves of an interlaced one.
  if (!options.keyFramesOnly && part.times !== null && Number.isFinite(stretch.to)) {
    yield* missing(part, stretch.expected, stretch.to, stretch.decoder.complaints());
  }
}

const anotherSize = 'the film changes its picture size here: regions would not fit';
const guessed = 'damaged in the film (the decoder had to guess parts of the picture)';

/**
 * Damage is handed on from picture to picture until the next key frame. In a film without index whose pictures were
 * searched for, it may also be a picture too many: later ones are not known by their number any more.
 */
function soundAgain(part: VideoPart, position: number): number {
  if (part.salvaged?.counted === false) return Infinity;
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
