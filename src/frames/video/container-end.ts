import { type FileHandle, open } from 'node:fs/promises';
import { topBoxes } from '../salvage/mp4-boxes.ts';

/**
 * Whether the file ends before its container does, by the lengths that the container tells; `null`: it tells none.
 * `container`: ffmpeg's names, such as `mov,mp4,m4a,3gp,3g2,mj2`.
 */
export async function endsEarly(file: string, container: string): Promise<boolean | null> {
  const handle = await open(file);
  try {
    if (/\bmov\b/.test(container)) return await mp4EndsEarly(handle);
    if (/\bmatroska\b/.test(container)) return await matroskaEndsEarly(handle);
    if (/\bavi\b/.test(container)) return await aviEndsEarly(handle);
    return null;
  } finally {
    await handle.close();
  }
}

/** The last box claims more than is there, or a fragment's head has lost its pictures (ISO/IEC 14496-12, 4.2 and 8.8). */
async function mp4EndsEarly(handle: FileHandle): Promise<boolean> {
  const last = (await topBoxes(handle)).at(-1);
  return last !== undefined && (last.cut || last.type === 'moof');
}

/** RFC 8794, 4: a variable-length number at `at` of the bytes, without its mark; `null` for an unknown length. */
function ebmlLength(bytes: Buffer, at: number): { readonly value: number | null; readonly bytes: number } {
  const length = Math.clz32(bytes[at]!) - 23;
  if (length > 8 || at + length > bytes.length) return { value: null, bytes: 1 };
  let value = bytes[at]! & (0xff >> length);
  let allOnes = value === 0xff >> length;
  for (const byte of bytes.subarray(at + 1, at + length)) {
    value = value * 256 + byte;
    allOnes &&= byte === 0xff;
  }
  return { value: allOnes ? null : value, bytes: length };
}

const segmentId = Buffer.from([0x18, 0x53, 0x80, 0x67]);

/** RFC 9559, 5.1: one segment holds the film. Its length is unknown where it was never finished, but also in a stream. */
async function matroskaEndsEarly(handle: FileHandle): Promise<boolean | null> {
  const { size } = await handle.stat();
  const { buffer, bytesRead } = await handle.read(Buffer.alloc(4096), 0, 4096, 0);
  const at = buffer.subarray(0, bytesRead).indexOf(segmentId);
  if (at < 0 || at + 12 > bytesRead) return null;
  const length = ebmlLength(buffer, at + 4);
  return length.value === null ? null : at + 4 + length.bytes + length.value > size;
}

/** Chunks of one file: 1 GB each in long films (OpenDML). */
async function aviEndsEarly(handle: FileHandle): Promise<boolean> {
  const { size } = await handle.stat();
  const head = Buffer.alloc(8);
  for (let at = 0; at + 8 <= size;) {
    await handle.read(head, 0, 8, at);
    if (head.toString('latin1', 0, 4) !== 'RIFF') return false;
    const length = head.readUInt32LE(4);
    // A film that was never finished has 0 for its length.
    if (length < 8 || at + 8 + length > size) return true;
    at += 8 + length + (length & 1);
  }
  return false;
}
