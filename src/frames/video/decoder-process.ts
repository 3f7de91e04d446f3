import { spawn, type StdioOptions } from 'node:child_process';
import type { Readable } from 'node:stream';
import { MachineError } from '../../errors.ts';
import { frameBytes } from '../pixel-format.ts';
import { feedTo, inputArguments, pipedArguments, type PipedFilm, quietArguments } from '../run-ffmpeg.ts';
import type { CropPlan } from './crop-plan.ts';
import { type FrameStream, openFrameStream } from './frame-stream.ts';
import { createPixelMemory, type PixelMemory } from './pixel-memory.ts';
import { passthroughArguments } from './passthrough-arguments.ts';

export interface DecoderRequest {
  readonly program: string;
  readonly file: string;
  /** Read through a pipe instead of the file, from a position on, with pictures `frameS` apart; `null`: the file is read. */
  readonly piped: { readonly film: PipedFilm; readonly fromPosition: number; readonly frameS: number } | null;
  readonly streamIndex: number;
  readonly plan: CropPlan;
  readonly threads: number;
  /** Container time to start at, seconds: decoding starts at the key frame at or before it. `null`: the beginning. */
  readonly seekS: number | null;
  readonly keyFramesOnly: boolean;
  /** Only these of the pictures decoded are handed over, counted from the first; `null`: all. */
  readonly select: readonly number[] | null;
  /** Such as `ffmpeg 4.4.2`. */
  readonly version: string;
  readonly signal?: AbortSignal | undefined;
}

/** One decoded picture; its samples are in `bytes` of the decoder. */
export interface RawFrame {
  /** Presentation time, seconds of the container's clock; `null` when it has none. */
  readonly timeS: number | null;
  /** The decoder complained since the picture before: this one, or one soon after it, is damaged. */
  readonly damaged: boolean;
  /** It has another size than the film is said to have; ffmpeg cuts regions out of it all the same. */
  readonly resized: boolean;
}

export interface Decoder {
  /** The latest picture, raw planes; overwritten by `next`. */
  readonly bytes: Buffer;
  /** The memory that `bytes` lie in. */
  readonly memory: PixelMemory;
  /** The next picture, or `null` at the end. */
  next(): Promise<RawFrame | null>;
  /** ffmpeg's last complaints. */
  complaints(): string;
  close(): Promise<void>;
}

/**
 * Starts one ffmpeg whose frames are read directly. Times come from `showinfo` on a tiny corner of every frame, because
 * raw video carries none. The next frame is read when it is asked for: a slow reader slows ffmpeg down.
 * @throws the abort reason, or MachineError `ffmpeg-failed`, from `next`.
 */
export function startDecoder(request: DecoderRequest): Decoder {
  const memory = createPixelMemory(request.plan);
  const { bytes } = memory;
  const side = sideTalk(cornerOf(request.plan).size);
  const running = run(request, bytes, side);
  running.catch(() => undefined); // Told by `next`.
  return {
    bytes,
    memory,
    next: async () => {
      const { frames, failure } = await running;
      const complete = await frames.fill();
      request.signal?.throwIfAborted();
      const failed = failure();
      if (failed !== null) throw failed;
      return complete ? await side.frame() : null;
    },
    complaints: side.complaints,
    close: async () => (await running).stop(),
  };
}

interface Running {
  readonly frames: FrameStream;
  failure(): Error | null;
  stop(): Promise<void>;
}

async function run(request: DecoderRequest, bytes: Uint8Array, side: SideTalk): Promise<Running> {
  const frames = await openFrameStream(bytes);
  const stdio: StdioOptions = [request.piped === null ? 'ignore' : 'pipe', frames.stdout, 'pipe'];
  const child = spawn(request.program, decoderArguments(request), { stdio });
  if (request.piped !== null) void feedTo(request.piped.film.feed(request.piped.fromPosition), child);
  frames.begin(child.stdout);
  side.listen(child.stderr!);
  const kill = (): void => void child.kill('SIGKILL');
  request.signal?.addEventListener('abort', kill, { once: true });
  if (request.signal?.aborted === true) kill();
  let failure: Error | null = null;
  const closed = new Promise<void>((resolve) => {
    child.once('error', (cause) => {
      failure = new MachineError('ffmpeg-failed', `ffmpeg does not start: ${cause.message}`, { cause });
      frames.end();
      side.end();
      resolve();
    });
    child.once('close', () => {
      side.end();
      resolve();
    });
  });
  return {
    frames,
    failure: () => failure,
    stop: async () => {
      request.signal?.removeEventListener('abort', kill);
      kill();
      frames.close();
      await closed;
    },
  };
}

/** Bytes that ffmpeg may decode ahead of us, in a thread that waits for us in its place. Chosen: some frames' regions at 1080p. */
const decodedAhead = 8 << 20;

const queueOf = ({ format, width, height }: CropPlan): number =>
  Math.min(16, Math.max(1, Math.floor(decodedAhead / frameBytes(format, width, height))));

/** Sides of the corner, in a picture of the size that the film is said to have; a smaller one makes a smaller corner, one of twice the size a larger. */
const cornerSide = 4;

/** A corner of which `showinfo` tells the size: by it a film is found out that changes its size. */
function cornerOf({ frame: { width, height } }: CropPlan): { readonly crop: string; readonly size: string } {
  if (Math.min(width, height) < 2 * cornerSide) return { crop: 'crop=2:2:0:0', size: '2x2' };
  const side = (own: string, whole: number): string => `'2*floor(${cornerSide / 2}*${own}/${whole}+0.000001)'`;
  return { crop: `crop=${side('iw', width)}:${side('ih', height)}:0:0`, size: `${cornerSide}x${cornerSide}` };
}

function decoderArguments(request: DecoderRequest): string[] {
  const { plan, piped } = request;
  const seek = request.seekS === null ? [] : ['-noaccurate_seek', '-ss', request.seekS.toFixed(6)];
  const corner = `${cornerOf(plan).crop},showinfo,nullsink`;
  const select = request.select === null ? '' : `select='${request.select.map((n) => `eq(n,${n})`).join('+')}',`;
  // An elementary stream has no times of its own: pictures come in the order in which they are shown.
  const times = piped === null ? '' : `setpts=(N+${piped.fromPosition})*${piped.frameS}/TB+0.5,`;
  const graph = `[0:${request.streamIndex}]${times}${select}format=${plan.format.name},split=2[in][corner];[corner]${corner};${plan.filter}`;
  return [
    ...[...quietArguments, '-nostats', '-loglevel', 'info', '-copyts', '-noautorotate'],
    ...['-threads', String(request.threads), ...(request.keyFramesOnly ? ['-skip_frame', 'nokey'] : []), ...seek],
    ...[
      ...(piped === null ? inputArguments(request.file) : pipedArguments(piped.film.codec)),
      '-filter_complex',
      graph,
      '-map',
      '[out]',
    ],
    ...[...passthroughArguments(request.version), '-c:v', 'rawvideo'],
    ...['-f', 'fifo', '-fifo_format', 'rawvideo', '-queue_size', String(queueOf(plan)), 'pipe:1'],
  ];
}

/** Complaints of the H.264, HEVC, VP9 and JPEG decoders after which a picture is partly guessed. */
const damage =
  /^\[.*(error while decoding|concealing|invalid NAL|block unavailable|decode_slice|cabac|Could not find ref|missing picture|bad vlc|error count|overread|Invalid data)|^Error while decoding stream|corrupt decoded frame/i;

interface SideTalk {
  listen(stderr: Readable): void;
  frame(): Promise<RawFrame>;
  complaints(): string;
  end(): void;
}

/** Reads what ffmpeg says beside the pixels: a line a frame from showinfo, and complaints. */
function sideTalk(expectedCorner: string): SideTalk {
  const frames: RawFrame[] = [];
  const complaints: string[] = [];
  let tickS: number | null = null;
  let damaged = false;
  let rest = '';
  let ended = false;
  let wake: () => void = () => undefined;
  const readLine = (line: string): void => {
    const info = /showinfo_\d+ @ [^\]]*\] n: *\d+ pts: *(-?\d+|NOPTS)/.exec(line);
    if (info !== null) {
      const timeS = info[1] === 'NOPTS' || tickS === null ? null : Number(info[1]) * tickS;
      const corner = / s:(\d+x\d+) /.exec(line)?.[1];
      frames.push({ timeS, damaged, resized: corner !== undefined && corner !== expectedCorner });
      damaged = false;
      return;
    }
    const tick = /showinfo_\d+ @ [^\]]*\] config in time_base: (\d+)\/(\d+)/.exec(line);
    if (tick !== null) tickS = Number(tick[1]) / Number(tick[2]);
    // What was said until then is about the beginning of the file, which ffmpeg looks into first, not about a picture.
    if (line.startsWith('Stream mapping:')) {
      damaged = false;
      complaints.length = 0;
    }
    if (damage.test(line)) damaged = true;
    if (/error|invalid|corrupt|truncat|missing|concealing/i.test(line) && complaints.length < 20) complaints.push(line);
  };
  return {
    listen: (stderr) => {
      stderr.setEncoding('utf8').on('data', (text: string) => {
        const lines = (rest + text).split('\n');
        rest = lines.pop() ?? '';
        lines.forEach(readLine);
        wake();
      });
    },
    frame: async () => {
      while (frames.length === 0 && !ended) await new Promise<void>((resolve) => (wake = resolve));
      return frames.shift() ?? { timeS: null, damaged, resized: false };
    },
    complaints: () => complaints.join('; '),
    end: () => {
      ended = true;
      wake();
    },
  };
}
