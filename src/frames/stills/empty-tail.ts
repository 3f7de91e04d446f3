import { open } from 'node:fs/promises';

/** Zeros at the end from which the rest of a file counts as never written: disks fill whole sectors. Chosen. */
const fewestZeros = 64;
const step = 65_536;

/**
 * Whether a JPEG was written only in part: its end is zeros, as a card leaves room it had reserved, and no end-of-image
 * mark stands before them (ITU-T T.81, B.1.1.3). A decoder paints such a picture grey from there on without a word.
 */
export async function hasEmptyTail(file: string, bytes: number): Promise<boolean> {
  const handle = await open(file);
  try {
    let end = bytes;
    while (end > 0) {
      const length = Math.min(step, end);
      const { buffer } = await handle.read(Buffer.alloc(length), 0, length, end - length);
      const last = buffer.findLastIndex((byte) => byte !== 0);
      end -= length - (last + 1);
      if (last >= 0) break;
    }
    if (bytes - end < fewestZeros) return false;
    const { buffer } = await handle.read(Buffer.alloc(2), 0, 2, Math.max(0, end - 2));
    return !(buffer[0] === 0xff && buffer[1] === 0xd9);
  } finally {
    await handle.close();
  }
}
