import type { FileWindow } from './file-window.ts';
import type { WholePicture } from './whole-pictures.ts';

/** Bytes of the frame's and the picture's head that are looked at. */
const headBytes = 21;
/** Chosen; 8K pictures of the highest rate have some 40 MB. */
const longest = 1 << 28;

/** A ProRes frame at a place: its length, `icpf`, then its head (SMPTE RDD 36, 5.1). */
export async function proresAt(window: FileWindow, at: number, end: number): Promise<WholePicture | null> {
  const head = await window.peek(at, headBytes);
  if (head.length < headBytes) return null;
  const length = head.readUInt32BE(0);
  const headLength = head.readUInt16BE(8);
  const [width, height] = [head.readUInt16BE(16), head.readUInt16BE(18)];
  const legal = headLength >= 20 && headLength < length && head.readUInt16BE(10) <= 1 && width > 0 && height > 0;
  if (!legal || length > longest || at + length > end) return null;
  // Chroma: 2 is half of it across, 3 all, as the kinds named 4444 have it, with two bits more.
  const fourcc = head[20]! >> 6 === 3 ? 'ap4h' : 'apcn';
  return { at, length, width, height, fourcc };
}
