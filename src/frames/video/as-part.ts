import { repeatedReason } from '../../model/frame.ts';
import type { Part } from '../part.ts';
import { decodeVideo, splitPosition } from './decode-video.ts';
import { repeatedPositions } from './held-pictures.ts';
import { videoLooks, videoStill } from './video-looks.ts';
import type { VideoPart } from './video-part.ts';

/** A film as a part of a source. */
export function asPart(video: VideoPart): Part {
  return {
    kind: 'video',
    ...{ shown: video.shown, width: video.width, height: video.height, count: video.times?.length ?? null },
    timeAt: (position) => video.times?.[position] ?? (video.times === null ? position * video.frameS : null),
    stepS: video.frameS,
    codec: video.facts.codec,
    bitDepth: video.format.bitDepth,
    chromaSubsampled: video.format.chromaX * video.format.chromaY > 1,
    transferTag: video.chosen.transferTag,
    conversion: video.chosen.described,
    decoder: video.version,
    notes: video.notes,
    files: [video.file, ...video.alsoRead],
    splitAt: (endPosition) => splitPosition(video, Math.min(endPosition ?? Infinity, video.times?.length ?? Infinity)),
    frames: async function* (crops, options) {
      const { endPosition, glance: keyFramesOnly, anyOrder: split, signal } = options;
      const repeats = await repeatsOf(video, keyFramesOnly, endPosition, signal);
      for await (const frame of decodeVideo(video, crops, { endPosition, keyFramesOnly, split, signal })) {
        const repeated = frame.regions !== null && repeats.has(frame.position);
        yield { ...frame, ...(repeated ? { regions: null, reason: repeatedReason } : {}), settings: null, file: null };
      }
    },
    still: async (position) => {
      const image = await videoStill(video, position);
      return image === null ? null : { image, position };
    },
    looks: (positions) => videoLooks(video, positions),
  };
}

async function repeatsOf(
  video: VideoPart,
  keyFramesOnly: boolean,
  endPosition: number | null,
  signal: AbortSignal | undefined,
): Promise<ReadonlySet<number>> {
  const { held, keyFrames } = video;
  if (held === null) return new Set();
  // Key frames far apart show different pictures.
  const sparse = keyFrames.length * (held.pattern?.framesEach ?? 1) < video.times!.length;
  if (keyFramesOnly && sparse) return new Set();
  const end = Math.min(endPosition ?? Infinity, video.times!.length);
  return repeatedPositions(video, held, { end, signal });
}
