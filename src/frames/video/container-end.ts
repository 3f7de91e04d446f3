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
    if (/\bmxf/.test(container)) return await mxfEndsEarly(handle);
    if (/\bmpegts\b/.test(container)) return await packetsEndEarly(handle);
    if (container === 'mpeg') return await programEndsEarly(handle);
    if (/\bogg\b/.test(container)) return await oggEndsEarly(handle);
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

/** SMPTE 377-1, 7.1 and 12.2: a footer partition or a random index pack ends the file; the eighth byte is a version. */
const mxfEnd = /^060e2b34020501..0d0102010(104|111)/;

/** Keys, lengths and values one behind another (SMPTE 336, 5: a length is one byte, or the number of its bytes and those). */
async function mxfEndsEarly(handle: FileHandle): Promise<boolean | null> {
  const { size } = await handle.stat();
  const head = Buffer.alloc(25);
  let last = '';
  for (let at = 0; at < size;) {
    const { bytesRead } = await handle.read(head, 0, 25, at);
    if (bytesRead < 17) return true;
    last = head.toString('hex', 0, 16);
    if (!last.startsWith('060e2b34')) return null;
    const long = head[16]! > 0x80 ? head[16]! - 0x80 : 0;
    if (long > 8) return null;
    let length = long === 0 ? head[16]! : 0;
    for (const byte of head.subarray(17, 17 + long)) length = length * 256 + byte;
    at += 17 + long + length;
    if (at > size) return true;
  }
  return !mxfEnd.test(last);
}

/** Pages of at most 65,307 bytes; the last of a stream says so (RFC 3533, 6). */
async function oggEndsEarly(handle: FileHandle): Promise<boolean | null> {
  const { size } = await handle.stat();
  const from = Math.max(0, size - 2 * 65_307);
  const { buffer, bytesRead } = await handle.read(Buffer.alloc(size - from), 0, size - from, from);
  const bytes = buffer.subarray(0, bytesRead);
  const at = bytes.lastIndexOf('OggS');
  if (at < 0) return null;
  if (at + 27 > bytesRead || at + 27 + bytes[at + 26]! > bytesRead) return true;
  const lengths = bytes.subarray(at + 27, at + 27 + bytes[at + 26]!);
  const end = at + 27 + lengths.length + lengths.reduce((sum, length) => sum + length, 0);
  return end > bytesRead || (bytes[at + 5]! & 4) === 0;
}

/** Sizes of a transport stream's packets: plain, with a time before (M2TS), with a check behind; and the byte that begins one (ISO/IEC 13818-1, 2.4.3). */
const packetSizes = [188, 192, 204];
const syncByte = 0x47;

/** A cut inside a packet; where it lies between two, nothing is told (`null`). */
async function packetsEndEarly(handle: FileHandle): Promise<true | null> {
  const { size } = await handle.stat();
  const { buffer } = await handle.read(Buffer.alloc(1024), 0, 1024, 0);
  const packet = packetSizes.find((bytes) =>
    [0, 4].some((at) => [0, 1, 2, 3].every((count) => buffer[at + count * bytes] === syncByte)),
  );
  return packet !== undefined && size % packet !== 0 ? true : null;
}

/** Program streams come in packs of some thousand bytes; chosen: far more. */
const packReach = 1 << 18;

/** The packets of the last pack by their lengths (ISO/IEC 13818-1, 2.5.3); where they come out even, nothing is told (`null`). */
async function programEndsEarly(handle: FileHandle): Promise<true | null> {
  const { size } = await handle.stat();
  const from = Math.max(0, size - packReach);
  const { buffer, bytesRead } = await handle.read(Buffer.alloc(size - from), 0, size - from, from);
  const bytes = buffer.subarray(0, bytesRead);
  const pack = bytes.lastIndexOf(Buffer.from([0, 0, 1, 0xba]));
  if (pack < 0) return null;
  if (pack + 14 > bytesRead) return true;
  // MPEG-2 packs tell of stuffing; those of MPEG-1 have 12 bytes.
  let at = pack + ((bytes[pack + 4]! & 0xc0) === 0x40 ? 14 + (bytes[pack + 13]! & 7) : 12);
  while (at < bytesRead) {
    if (at + 4 <= bytesRead && bytes.readUInt32BE(at) === 0x1b9) return null;
    if (at + 6 > bytesRead) return true;
    if (bytes.readUIntBE(at, 3) !== 1) return null;
    at += 6 + bytes.readUInt16BE(at + 4);
  }
  return at > bytesRead ? true : null;
}
