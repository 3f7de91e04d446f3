import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import net from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Readable } from 'node:stream';

/** Frames of a fixed size, one after another, from a program that writes them. */
export interface FrameStream {
  /** What the program gets as its stdout; `'pipe'`: its own, to be handed back by `begin`. */
  readonly stdout: net.Socket | 'pipe';
  /** To be called once the program runs; its own pipe where it has one. */
  begin(stdout: Readable | null): void;
  /** Waits until the whole buffer is filled with the next frame; false when the stream ended before. */
  fill(): Promise<boolean>;
  /** The program is gone or never was: nothing more will come. */
  end(): void;
  close(): void;
}

/**
 * A stream that is read straight into `frame`, without memory of its own: Node's pipes of child processes take 64 kB of
 * new memory a read, which at 1080p kept the garbage collector as busy as the colours. A pair of connected sockets in a
 * private folder can be read into a buffer of ours; where there are none (Windows, a temporary folder with a very long
 * name), the program's own pipe is read and copied.
 */
export async function openFrameStream(frame: Uint8Array): Promise<FrameStream> {
  try {
    return process.platform === 'win32' ? copiedFrames(frame) : await directFrames(frame);
  } catch {
    return copiedFrames(frame);
  }
}

async function directFrames(frame: Uint8Array): Promise<FrameStream> {
  const state = waiting();
  let have = 0;
  const folder = await mkdtemp(path.join(tmpdir(), 'vialapse-'));
  const server = net.createServer({ pauseOnConnect: true });
  try {
    const address = path.join(folder, 'frames');
    server.listen(address);
    await once(server, 'listening');
    const accepted = once(server, 'connection') as Promise<[net.Socket]>;
    const reader = net.connect({
      path: address,
      onread: {
        // Asked for after every read, the next frame's first one included: nothing is read until `fill` wants it.
        buffer: () => frame.subarray(have === frame.length ? 0 : have) as Buffer,
        callback: (count) => {
          have += count;
          if (have < frame.length) return true;
          state.wake();
          return false;
        },
      },
    });
    await once(reader, 'connect');
    reader.on('end', state.end).on('close', state.end).on('error', state.end);
    const [writer] = await accepted;
    let first = true;
    return {
      stdout: writer,
      begin: () => void writer.destroy(),
      fill: async () => {
        if (!first) {
          have = 0;
          reader.resume();
        }
        first = false;
        while (have < frame.length && !state.ended()) await state.changed();
        return have === frame.length;
      },
      end: state.end,
      close: () => void reader.destroy(),
    };
  } finally {
    server.close();
    await rm(folder, { recursive: true, force: true });
  }
}

/** Bytes that may wait in memory before the program is slowed down. Chosen: a frame's regions at 1080p, a third of a whole frame. */
const mostWaiting = 1 << 20;

function copiedFrames(frame: Uint8Array): FrameStream {
  const state = waiting();
  const queue: Buffer[] = [];
  const limit = Math.max(1 << 18, Math.min(frame.length, mostWaiting));
  let stdout: Readable | null = null;
  let queued = 0;
  let offset = 0;
  return {
    stdout: 'pipe',
    begin: (pipe) => {
      stdout = pipe;
      pipe?.on('data', (chunk: Buffer) => {
        queue.push(chunk);
        queued += chunk.length;
        if (queued >= limit) pipe.pause();
        state.wake();
      });
      pipe?.once('end', state.end).once('close', state.end).once('error', state.end);
    },
    fill: async () => {
      let have = 0;
      while (have < frame.length) {
        const chunk = queue[0];
        if (chunk === undefined) {
          if (state.ended()) return false;
          await state.changed();
          continue;
        }
        const copied = chunk.copy(frame, have, offset);
        have += copied;
        offset += copied;
        if (offset < chunk.length) continue;
        queue.shift();
        queued -= chunk.length;
        offset = 0;
        if (queued < limit) stdout?.resume();
      }
      return true;
    },
    end: state.end,
    close: () => void stdout?.destroy(),
  };
}

interface Waiting {
  ended(): boolean;
  readonly end: () => void;
  readonly wake: () => void;
  changed(): Promise<void>;
}

function waiting(): Waiting {
  let over = false;
  let resume: () => void = () => undefined;
  const wake = (): void => resume();
  return {
    ended: () => over,
    end: () => {
      over = true;
      wake();
    },
    wake,
    changed: () => new Promise<void>((resolve) => (resume = resolve)),
  };
}
