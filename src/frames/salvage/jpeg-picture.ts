import type { FileWindow } from './file-window.ts';
import type { WholePicture } from './whole-pictures.ts';

/** Segments of one picture; real ones have some ten. Chosen. */
const mostSegments = 1000;
/** Chosen; 8K pictures of the best quality have some 30 MB. */
const longest = 1 << 27;

/** Markers (ITU-T T.81, table B.1). */
const frameMarkers = new Set([0xc0, 0xc1, 0xc2]);
const endOfImage = 0xd9;
const startOfScan = 0xda;
const firstApplication = 0xe0;

/** A JPEG picture at a place, from its first marker to its last (ITU-T T.81, B.1). `null` also for one of two fields. */
export async function jpegAt(window: FileWindow, at: number, end: number): Promise<WholePicture | null> {
  let size: { readonly width: number; readonly height: number } | null = null;
  let place = at + 2;
  for (let count = 0; count < mostSegments && place - at < longest; count++) {
    const head = await window.peek(place, 18);
    if (head.length < 2 || head[0] !== 0xff) return null;
    const marker = head[1]!;
    if (marker === endOfImage) {
      return size === null || place + 2 > end ? null : { at, length: place + 2 - at, ...size, fourcc: 'MJPG' };
    }
    if (head.length < 9) return null;
    // QuickTime's way to keep the two fields of an interlaced picture: two JPEGs for one (QuickTime File Format, Motion-JPEG).
    if (marker === firstApplication + 1 && head.toString('latin1', 8, 12) === 'mjpg') return null;
    if (frameMarkers.has(marker)) size = { width: head.readUInt16BE(7), height: head.readUInt16BE(5) };
    place += 2 + head.readUInt16BE(2);
    if (marker === startOfScan) {
      const next = await afterScan(window, place, Math.min(end, at + longest));
      if (next === null) return null;
      place = next;
    }
  }
  return null;
}

/** The next marker behind coded data: not a 0xff of the data itself (0 behind it), nor one between its parts (RST). */
async function afterScan(window: FileWindow, from: number, end: number): Promise<number | null> {
  for (let at = from; at < end;) {
    const view = await window.peek(at, 1 << 16);
    if (view.length < 2) return null;
    for (let found = view.indexOf(0xff); found >= 0 && found + 1 < view.length; found = view.indexOf(0xff, found + 1)) {
      const next = view[found + 1]!;
      if (next !== 0 && next !== 0xff && (next < 0xd0 || next > 0xd7)) return at + found;
    }
    // The last byte may begin a marker.
    at += view.length - 1;
  }
  return null;
}
