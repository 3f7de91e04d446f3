export { decodePng } from './decode-png.ts';
export { encodeJpeg, encodePng, type ExifFacts, rasteriseSvg, smallJpeg } from './encode/encode-still.ts';
export { encodeVideo, type VideoCodec, type VideoOptions } from './encode/encode-video.ts';
export { ffmpegVersion, findFfmpeg } from './find-ffmpeg.ts';
export { lookShares } from './look-shares.ts';
export type { Look } from './run-looks.ts';
export { type FrameOptions, type OpenSource, openSource, type SourceRequest } from './open-source.ts';
