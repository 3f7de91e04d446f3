import type { RegionPixels } from '../../model/frame.ts';
import { planeConverter } from './convert-planes.ts';
import type { CropPlan } from './crop-plan.ts';
import { type Decoder, startDecoder } from './decoder-process.ts';
import type { VideoPart } from './video-part.ts';

/** Pictures between a complaint and the damaged picture's own turn: reordering and decoder threads. Chosen: 4 + 4. */
export const complaintLead = 8;

/** A stretch of the film decoded by one ffmpeg: positions `from` up to, not including, `to`. */
export interface Stretch {
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

export interface StretchOptions {
  readonly from: number;
  readonly to: number;
  readonly threads: number;
  readonly keyFramesOnly: boolean;
  /** Only these of the pictures decoded are handed over, counted from the first; left out: all. */
  readonly select?: readonly number[];
  readonly signal?: AbortSignal | undefined;
}

/** Starts an ffmpeg at position `from`, a key frame. */
export function startStretch(part: VideoPart, plan: CropPlan, options: StretchOptions): Stretch {
  const { from, to, threads } = options;
  const { salvaged, frameS } = part;
  const decoder = startDecoder({
    ...{ program: part.program, file: part.file, streamIndex: part.facts.streamIndex, plan, threads },
    piped: salvaged === null ? null : { film: salvaged, fromPosition: from, frameS },
    seekS: from === 0 || salvaged !== null ? null : seekTarget(part, from),
    // Pictures through a pipe are known by their number, so none may be left out.
    keyFramesOnly: options.keyFramesOnly && salvaged === null,
    select: options.select ?? null,
    version: part.version,
    signal: options.signal,
  });
  const convert = planeConverter(plan, part.chosen.conversion, decoder.bytes, decoder.memory);
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

export interface Arrival {
  readonly position: number;
  readonly damaged: boolean;
  readonly resized: boolean;
}

/** The next picture of the stretch; pictures shown before it (leading ones of an open group) are passed over. */
export async function nextPicture(part: VideoPart, stretch: Stretch): Promise<Arrival | null> {
  for (;;) {
    const raw = await stretch.decoder.next();
    if (raw === null) return null;
    const position = positionOf(part, raw.timeS, stretch.from + stretch.decoded);
    stretch.decoded++;
    if (position >= stretch.expected) return { position, damaged: raw.damaged, resized: raw.resized };
  }
}
