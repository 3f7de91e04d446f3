import path from 'node:path';
import { Readable } from 'node:stream';
import ffmpeg from 'fluent-ffmpeg';
import { MachineError } from '../../errors.ts';
import type { RgbImage } from '../../model/frame.ts';
import { findFfmpeg } from '../find-ffmpeg.ts';
import { pixelFormat } from '../pixel-format.ts';
import type { RangeName } from '../ycbcr.ts';
import { planesWriter } from './rgb-to-planes.ts';

export type VideoCodec = 'h264' | 'hevc' | 'vp9' | 'av1' | 'mjpeg' | 'prores' | 'ffv1';

export interface VideoOptions {
  /** Where to write; the ending chooses the container (.mp4, .mov, .mkv, .webm, .avi). An existing file is replaced. */
  readonly file: string;
  readonly width: number;
  readonly height: number;
  /** Playback rate. */
  readonly framesPerSecond: number;
  /** Default h264. */
  readonly codec?: VideoCodec;
  /** Constant quality, smaller is better; default 18 for h264/hevc, 20 for vp9/av1. */
  readonly crf?: number;
  /** Instead of `crf`, bits per second. */
  readonly bitrate?: number;
  /** Matrix used and written; `none`: untagged, with the weights players assume (BT.601 below 720 lines). Default bt709. */
  readonly colourTags?: 'bt709' | 'bt601' | 'none';
  /** Transfer written as a tag; pixels are stored as given. Default: that of `colourTags`. */
  readonly transferTag?: 'srgb' | 'hlg' | 'pq';
  /** Primaries written as a tag; pixels are stored as given. Default: those of `colourTags`. */
  readonly primariesTag?: 'bt2020' | 'p3';
  /** Default limited (mjpeg: full). */
  readonly range?: RangeName;
  /** One of ours, see pixel-format.ts; default yuv420p (mjpeg yuvj420p, prores yuv422p10le). */
  readonly pixelFormat?: string;
  /** Frames between key frames; default the encoder's. */
  readonly keyFrameEvery?: number;
  /** Encoder speed of h264/hevc; default veryfast. */
  readonly preset?: string;
  readonly ffmpegPath?: string | null;
}

const encoders: Readonly<Record<VideoCodec, readonly string[]>> = {
  h264: ['libx264'],
  hevc: ['libx265', '-tag:v', 'hvc1'],
  vp9: ['libvpx-vp9', '-deadline', 'realtime', '-cpu-used', '6'],
  // "experimental" in ffmpeg of before 2019. Without looking ahead: newer libaom (seen in ffmpeg 5.1.9) else mixes later pictures into key frames.
  av1: ['libaom-av1', '-strict', 'experimental', '-cpu-used', '8', '-lag-in-frames', '0'],
  mjpeg: ['mjpeg', '-q:v', '2'],
  prores: ['prores_ks'],
  ffv1: ['ffv1'],
};

/**
 * Encodes pictures (encoded R'G'B', 8 bit) as a film. The Y'CbCr conversion is our own (see rgb-to-planes.ts).
 * The same frames give the same bytes with the same ffmpeg: one thread count everywhere, no dates in the file.
 * @throws MachineError `ffmpeg-missing`, `ffmpeg-failed` (with ffmpeg's last words).
 */
export async function encodeVideo(
  options: VideoOptions,
  frames: AsyncIterable<RgbImage> | Iterable<RgbImage>,
): Promise<void> {
  const codec = options.codec ?? 'h264';
  const formatName = options.pixelFormat ?? defaultFormat(codec);
  const format = pixelFormat(formatName);
  if (format === null) throw new MachineError('pixel-format', `encodeVideo does not write ${formatName}`);
  const range = options.range ?? (format.impliesFull ? 'full' : 'limited');
  const matrix = encodedMatrix(options, codec);
  const write = planesWriter(format, matrix, range, options.width, options.height);

  const program = await findFfmpeg(options.ffmpegPath);
  const { input, output } = encoderArguments(options, codec, formatName, range);
  // an error of the frames' maker must reach the caller as it is, not as ffmpeg's complaint about a broken pipe
  let fault: unknown = null;
  const planes = async function* (): AsyncGenerator<Uint8Array> {
    try {
      for await (const image of frames) {
        if (image.width !== options.width || image.height !== options.height) {
          throw new MachineError(
            'frame-size',
            `a frame of ${image.width} x ${image.height} in a film of ${options.width} x ${options.height}`,
          );
        }
        yield Buffer.from(write(image));
      }
    } catch (error) {
      fault = error;
      throw error;
    }
  };
  await new Promise<void>((resolve, reject) => {
    const source = Readable.from(planes(), { objectMode: false, highWaterMark: 1 });
    const command = ffmpeg(source)
      .setFfmpegPath(program)
      .inputOptions([...input])
      .outputOptions([...output])
      .output(`file:${path.resolve(options.file)}`)
      .on('end', () => resolve())
      .on('error', (error: Error) => {
        source.destroy();
        const words = error.message.replace(/^ffmpeg exited with code \d+: /, '').trim();
        reject(
          fault instanceof Error
            ? fault
            : new MachineError('ffmpeg-failed', `ffmpeg could not write ${options.file}: ${words}`, { cause: error }),
        );
      });
    source.once('error', () => command.kill('SIGKILL'));
    command.run();
  });
}

function encodedMatrix(options: VideoOptions, codec: VideoCodec): 'bt601' | 'bt709' {
  const assumed = options.height < 720 ? 'bt601' : 'bt709';
  const tags = options.colourTags ?? 'bt709';
  // Motion JPEG is JFIF: BT.601 always.
  if (codec === 'mjpeg') return 'bt601';
  return tags === 'none' ? assumed : tags;
}

function defaultFormat(codec: VideoCodec): string {
  if (codec === 'mjpeg') return 'yuvj420p';
  return codec === 'prores' ? 'yuv422p10le' : 'yuv420p';
}

function encoderArguments(
  options: VideoOptions,
  codec: VideoCodec,
  format: string,
  range: RangeName,
): { readonly input: readonly string[]; readonly output: readonly string[] } {
  const size = `${options.width}x${options.height}`;
  const input = ['-f', 'rawvideo', '-pix_fmt', format, '-s', size, '-r', String(options.framesPerSecond)];
  // The thread count changes what x264 writes: fixed, so that a scenario gives the same film on every machine.
  const [encoder, ...extra] = encoders[codec];
  const coder = ['-c:v', encoder!, ...extra, '-pix_fmt', format, '-threads', '2'];
  if (options.bitrate !== undefined) coder.push('-b:v', String(options.bitrate));
  else if (codec === 'h264' || codec === 'hevc') coder.push('-crf', String(options.crf ?? 18));
  else if (codec === 'vp9' || codec === 'av1') coder.push('-b:v', '0', '-crf', String(options.crf ?? 20));
  if (codec === 'h264' || codec === 'hevc') coder.push('-preset', options.preset ?? 'veryfast');
  // libx265 learns the range only this way in ffmpeg of before 2019. Closed groups, so that the index knows them.
  if (codec === 'hevc') {
    const keys = options.keyFrameEvery === undefined ? '' : `:keyint=${options.keyFrameEvery}`;
    coder.push('-x265-params', `log-level=error:range=${range}:open-gop=0${keys}`);
  } else if (options.keyFrameEvery !== undefined) coder.push('-g', String(options.keyFrameEvery));
  // Without `colr` the tags of codecs that carry none themselves are lost in QuickTime files.
  if (/\.(mp4|mov)$/i.test(options.file) && options.colourTags !== 'none') coder.push('-movflags', '+write_colr');
  return {
    input: ['-y', '-hide_banner', '-loglevel', 'error', ...input],
    output: [
      ...['-an', ...coder, ...colourArguments(options, range)],
      ...['-map_metadata', '-1', '-fflags', '+bitexact', '-flags:v', '+bitexact'],
    ],
  };
}

function colourArguments(options: VideoOptions, range: RangeName): string[] {
  const tags = options.colourTags ?? 'bt709';
  const rangeArguments = ['-color_range', range === 'full' ? 'pc' : 'tv'];
  if (tags === 'none') return range === 'full' ? rangeArguments : [];
  const name = tags === 'bt601' ? 'smpte170m' : 'bt709';
  const transfer = { srgb: 'iec61966-2-1', hlg: 'arib-std-b67', pq: 'smpte2084' };
  const trc = options.transferTag === undefined ? name : transfer[options.transferTag];
  const primaries = { bt2020: 'bt2020', p3: 'smpte432' };
  const written = options.primariesTag === undefined ? name : primaries[options.primariesTag];
  return ['-color_primaries', written, '-color_trc', trc, '-colorspace', name, ...rangeArguments];
}
