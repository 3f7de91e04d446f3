import type { FileHandle } from 'node:fs/promises';

/** A part of an MP4 or QuickTime file: where its content begins and ends (ISO/IEC 14496-12, 4.2). */
export interface Box {
  readonly type: string;
  readonly start: number;
  /** Not beyond the end of the file. */
  readonly end: number;
  /** It claims to be longer than the file is. */
  readonly cut: boolean;
}

/** Boxes at the top of a file; real films have some ten, fragmented ones many. Chosen. */
const mostBoxes = 100_000;

/** Bytes of an index that are read: that of a film of a day has some 10 MB. Chosen. */
const longestIndex = 64 << 20;

/** The whole index of a film; `null`: it has none, or a part of one. */
export async function readIndex(handle: FileHandle): Promise<Buffer | null> {
  const index = (await topBoxes(handle)).find(({ type }) => type === 'moov');
  if (index === undefined || index.cut) return null;
  const bytes = Buffer.alloc(Math.min(index.end - index.start, longestIndex));
  await handle.read(bytes, 0, bytes.length, index.start);
  return bytes;
}

/** The boxes at the top of a file up to where it ends or stops making sense. */
export async function topBoxes(handle: FileHandle): Promise<readonly Box[]> {
  const { size: fileEnd } = await handle.stat();
  const boxes: Box[] = [];
  const head = Buffer.alloc(16);
  for (let at = 0; at + 8 <= fileEnd && boxes.length < mostBoxes;) {
    const { bytesRead } = await handle.read(head, 0, 16, at);
    const type = head.toString('latin1', 4, 8);
    if (!/^[\w ©]{4}$/.test(type)) break;
    const short = head.readUInt32BE(0);
    const long = short === 1 && bytesRead === 16;
    const length = long ? Number(head.readBigUInt64BE(8)) : short;
    const start = at + (long ? 16 : 8);
    // A film that was never finished has 0, or a place holder, for the length of its pictures.
    const open = length === 0 || (type === 'mdat' && at + length <= start);
    if (!open && at + length < start) break;
    const end = open ? fileEnd : Math.min(at + length, fileEnd);
    boxes.push({ type, start, end, cut: !open && at + length > fileEnd });
    at = Math.max(end, start);
  }
  return boxes;
}
