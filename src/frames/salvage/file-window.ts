import type { FileHandle } from 'node:fs/promises';

/** Bytes read at once. Chosen: far above what a disk takes a turn for. */
const windowBytes = 1 << 20;

/** Looks into a file of any size through a window that moves along with what is asked for. */
export class FileWindow {
  private readonly handle: FileHandle;
  private readonly end: number;
  private bytes = Buffer.alloc(0);
  private from = 0;

  /** Nothing from `end` on is shown. */
  constructor(handle: FileHandle, end: number) {
    this.handle = handle;
    this.end = end;
  }

  /** `length` bytes from `at` on, fewer at the end; they hold until the next call. */
  async peek(at: number, length: number): Promise<Buffer> {
    const stop = Math.min(at + length, this.end);
    if (at < this.from || stop > this.from + this.bytes.length) await this.move(at, Math.max(length, windowBytes));
    return this.bytes.subarray(at - this.from, Math.max(0, stop - this.from));
  }

  private async move(at: number, length: number): Promise<void> {
    const bytes = Buffer.alloc(Math.max(0, Math.min(length, this.end - at)));
    let filled = 0;
    while (filled < bytes.length) {
      const { bytesRead } = await this.handle.read(bytes, filled, bytes.length - filled, at + filled);
      if (bytesRead === 0) break;
      filled += bytesRead;
    }
    this.bytes = bytes.subarray(0, filled);
    this.from = at;
  }
}
