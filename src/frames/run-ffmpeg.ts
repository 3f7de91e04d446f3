import { type ChildProcess, spawn } from 'node:child_process';
import path from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { MachineError } from '../errors.ts';

/** Containers of films. Not among them: play lists (concat, hls, dash, sdp), which would open other files. */
const containers = [
  ...['mov', 'matroska', 'avi', 'mpegts', 'mpeg', 'mpegvideo', 'asf', 'flv', 'mxf', 'ogg', 'ivf', 'nut', 'dv', 'gif'],
  ...['h264', 'hevc', 'm4v', 'obu', 'mjpeg', 'wav', 'mp3', 'aac', 'flac'],
];

/**
 * Arguments that name an input. Always an absolute `file:` address and a protocol whitelist, so that a file called
 * `-i`, `concat:…` or `http:…` is only ever a file; probing is bounded.
 */
export function inputArguments(file: string): readonly string[] {
  // 20 MB and 10 s of probing: ffmpeg's own 5 MB miss the first key frame of some 4K films; unbounded would invite abuse.
  const bounds = ['-protocol_whitelist', 'file,pipe', '-probesize', '20000000', '-analyzeduration', '10000000'];
  return [...bounds, '-format_whitelist', containers.join(','), '-i', `file:${path.resolve(file)}`];
}

/** A film that no file holds as ffmpeg wants it, through a pipe: its elementary stream, or pictures that stand for themselves as IVF. */
export interface PipedFilm {
  readonly codec: 'h264' | 'hevc' | 'prores' | 'mjpeg';
  feed(fromPosition: number): Readable;
}

/** Arguments that name the standard input as such a film. Its times mean nothing. */
export function pipedArguments(codec: PipedFilm['codec']): readonly string[] {
  // IVF tells kinds by letters that some builds do not know of: the decoder is named.
  const format = codec === 'prores' || codec === 'mjpeg' ? ['-c:v', codec, '-f', 'ivf'] : ['-f', codec];
  return ['-probesize', '20000000', '-analyzeduration', '10000000', ...format, '-i', 'pipe:0'];
}

/** Writes a stream to a child's input; a child that has read enough is no error. */
export async function feedTo(stream: Readable, child: ChildProcess): Promise<void> {
  if (child.stdin === null) return;
  await pipeline(stream, child.stdin).catch(() => undefined);
}

/** Arguments every call starts with. */
export const quietArguments: readonly string[] = ['-hide_banner', '-nostdin'];

export interface FfmpegAnswer {
  readonly code: number | null;
  readonly stderr: string;
}

/** Characters of complaints kept. Chosen: all that a sound file says many times over, and a bound for a broken one. */
const stderrLimit = 200_000;

/**
 * Runs ffmpeg to its end; stdout goes line by line to `onLine`, stderr is kept up to 200,000 characters.
 * A failure code is an answer, not an error.
 * @throws MachineError `ffmpeg-failed` when it does not start; the abort reason when aborted.
 */
export function runFfmpeg(
  program: string,
  arguments_: readonly string[],
  onLine: (line: string) => void = () => undefined,
  signal?: AbortSignal,
  input?: Readable,
): Promise<FfmpegAnswer> {
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted();
    const child = spawn(program, arguments_, {
      stdio: [input === undefined ? 'ignore' : 'pipe', 'pipe', 'pipe'],
    });
    if (input !== undefined) void feedTo(input, child);
    const stop = (): void => void child.kill('SIGKILL');
    signal?.addEventListener('abort', stop, { once: true });
    let stderr = '';
    let rest = '';
    child.stderr!.setEncoding('utf8').on('data', (text: string) => {
      if (stderr.length < stderrLimit) stderr += text;
    });
    child.stdout!.setEncoding('utf8').on('data', (text: string) => {
      const lines = (rest + text).split('\n');
      rest = lines.pop() ?? '';
      for (const line of lines) onLine(line);
    });
    child.once('error', (cause) => {
      reject(new MachineError('ffmpeg-failed', `${program} does not start: ${cause.message}`, { cause }));
    });
    child.once('close', (code) => {
      signal?.removeEventListener('abort', stop);
      if (signal?.aborted === true) reject(signal.reason as Error);
      else resolve({ code, stderr });
    });
  });
}
