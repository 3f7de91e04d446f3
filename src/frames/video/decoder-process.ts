import { type ChildProcessByStdio, spawn } from 'node:child_process';
import type { Readable } from 'node:stream';
import { MachineError } from '../../errors.ts';
import { frameBytes } from '../pixel-format.ts';
import { inputArguments, quietArguments } from '../run-ffmpeg.ts';
import type { CropPlan } from './crop-plan.ts';
import { passthroughArguments } from './passthrough-arguments.ts';

export interface DecoderRequest {
  readonly program: string;
  readonly file: string;
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
}

export interface Decoder {
  /** The latest picture, raw planes; overwritten by `next`. */
  readonly bytes: Buffer;
  /** The next picture, or `null` at the end. */
  next(): Promise<RawFrame | null>;
  /** ffmpeg's last complaints. */
  complaints(): string;
  close(): Promise<void>;
}

/** Bytes that may wait in memory before ffmpeg is slowed down. Chosen: a frame's regions at 1080p, a third of a whole frame. */
const mostWaiting = 1 << 20;

/**
 * Starts one ffmpeg whose stdout is read directly. Times come from `showinfo` on a tiny corner of every frame, because
 * raw video carries none. At most one frame beyond the current one (1 MB of it) waits: a slow reader slows ffmpeg down.
 * @throws the abort reason, or MachineError `ffmpeg-failed`, from `next`.
 */
export function startDecoder(request: DecoderRequest): Decoder {
  const child = spawn(request.program, decoderArguments(request), { stdio: ['ignore', 'pipe', 'pipe'] });
  const bytes = Buffer.alloc(frameBytes(request.plan.format, request.plan.width, request.plan.height));
  const side = readSideTalk(child);
  const pipe = readPipe(child.stdout, Math.max(1 << 18, Math.min(bytes.length, mostWaiting)));
  const stop = (): void => void child.kill('SIGKILL');
  request.signal?.addEventListener('abort', stop, { once: true });
  let failure: Error | null = null;
  const closed = new Promise<void>((resolve) => {
    child.once('error', (cause) => {
      failure = new MachineError('ffmpeg-failed', `ffmpeg does not start: ${cause.message}`, { cause });
      pipe.end();
      side.end();
      resolve();
    });
    child.once('close', () => {
      side.end();
      resolve();
    });
  });
  return {
    bytes,
    next: async () => {
      const complete = await pipe.fill(bytes);
      request.signal?.throwIfAborted();
      if (failure !== null) throw failure;
      return complete ? await side.frame() : null;
    },
    complaints: side.complaints,
    close: async () => {
      request.signal?.removeEventListener('abort', stop);
      stop();
      child.stdout.destroy();
      await closed;
    },
  };
}

function decoderArguments(request: DecoderRequest): string[] {
  const { plan } = request;
  const seek = request.seekS === null ? [] : ['-noaccurate_seek', '-ss', request.seekS.toFixed(6)];
  const corner = 'crop=2:2:0:0,showinfo,nullsink';
  const select = request.select === null ? '' : `select='${request.select.map((n) => `eq(n,${n})`).join('+')}',`;
  const graph = `[0:${request.streamIndex}]${select}format=${plan.format.name},split=2[in][corner];[corner]${corner};${plan.filter}`;
  return [
    ...[...quietArguments, '-nostats', '-loglevel', 'info', '-copyts', '-noautorotate'],
    ...['-threads', String(request.threads), ...(request.keyFramesOnly ? ['-skip_frame', 'nokey'] : []), ...seek],
    ...[...inputArguments(request.file), '-filter_complex', graph, '-map', '[out]'],
    ...[...passthroughArguments(request.version), '-f', 'rawvideo', 'pipe:1'],
  ];
}

interface Pipe {
  /** Fills `target`; false when the stream ended before. */
  fill(target: Buffer): Promise<boolean>;
  end(): void;
}

function readPipe(stdout: Readable, limit: number): Pipe {
  const queue: Buffer[] = [];
  let queued = 0;
  let offset = 0;
  let ended = false;
  let wake: () => void = () => undefined;
  stdout.on('data', (chunk: Buffer) => {
    queue.push(chunk);
    queued += chunk.length;
    if (queued >= limit) stdout.pause();
    wake();
  });
  const end = (): void => {
    ended = true;
    wake();
  };
  stdout.once('end', end).once('close', end).once('error', end);
  return {
    end,
    fill: async (target) => {
      let have = 0;
      while (have < target.length) {
        const chunk = queue[0];
        if (chunk === undefined) {
          if (ended) return false;
          await new Promise<void>((resolve) => (wake = resolve));
          continue;
        }
        const copied = chunk.copy(target, have, offset);
        have += copied;
        offset += copied;
        if (offset === chunk.length) {
          queue.shift();
          queued -= chunk.length;
          offset = 0;
          if (queued < limit) stdout.resume();
        }
      }
      return true;
    },
  };
}

/** Complaints of the H.264, HEVC, VP9 and JPEG decoders after which a picture is partly guessed. */
const damage =
  /^\[.*(error while decoding|concealing|invalid NAL|block unavailable|decode_slice|cabac|Could not find ref|missing picture|bad vlc|error count|overread|Invalid data)|^Error while decoding stream|corrupt decoded frame/i;

interface SideTalk {
  frame(): Promise<RawFrame>;
  complaints(): string;
  end(): void;
}

/** Reads what ffmpeg says beside the pixels: a line a frame from showinfo, and complaints. */
function readSideTalk(child: ChildProcessByStdio<null, Readable, Readable>): SideTalk {
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
      frames.push({ timeS: info[1] === 'NOPTS' || tickS === null ? null : Number(info[1]) * tickS, damaged });
      damaged = false;
      return;
    }
    const tick = /showinfo_\d+ @ [^\]]*\] config in time_base: (\d+)\/(\d+)/.exec(line);
    if (tick !== null) tickS = Number(tick[1]) / Number(tick[2]);
    if (damage.test(line)) damaged = true;
    if (/error|invalid|corrupt|truncat|missing|concealing/i.test(line) && complaints.length < 20) complaints.push(line);
  };
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    const lines = (rest + text).split('\n');
    rest = lines.pop() ?? '';
    lines.forEach(readLine);
    wake();
  });
  return {
    frame: async () => {
      while (frames.length === 0 && !ended) await new Promise<void>((resolve) => (wake = resolve));
      return frames.shift() ?? { timeS: null, damaged };
    },
    complaints: () => complaints.join('; '),
    end: () => {
      ended = true;
      wake();
    },
  };
}
