import type { Part } from '../part.ts';
import { decodeVideo, splitPosition } from './decode-video.ts';
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
      for await (const frame of decodeVideo(video, crops, { endPosition, keyFramesOnly, split, signal })) {
        yield { ...frame, settings: null, file: null };
      }
    },
    still: async (position) => {
      const image = await videoStill(video, position);
      return image === null ? null : { image, position };
    },
    looks: (positions) => videoLooks(video, positions),
  };
}
