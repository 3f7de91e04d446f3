import { open } from 'node:fs/promises';
import { Readable } from 'node:stream';
import type { PipedFilm } from '../run-ffmpeg.ts';
import { FileWindow } from './file-window.ts';
import { type CodedPicture, findPictures } from './find-pictures.ts';
import { topBoxes } from './mp4-boxes.ts';
import type { ParameterSets } from './parameter-sets.ts';
import { setsInBand } from './sets-in-band.ts';
import { findWholePictures, type WholePictures } from './whole-pictures.ts';

/** The pictures of a film without its index, in a form that a decoder reads from a pipe. */
export interface SalvagedFilm {
  readonly codec: PipedFilm['codec'];
  /** Pictures whose place in the film is known. */
  readonly count: number;
  /** Positions at which reading may begin. */
  readonly keyFrames: readonly number[];
  /** Every picture follows the one before without a gap, so that a damaged one still counts as one. */
  readonly counted: boolean;
  /** Sizes of the coded pictures, bytes. */
  readonly sizes: readonly number[];
  /** Why the search ended early; `null`: it did not. */
  readonly lost: string | null;
  /** The elementary stream from a key frame on. */
  feed(fromPosition: number): Readable;
}

/** Bytes in which pictures are looked for. */
export interface PictureData {
  readonly start: number;
  readonly end: number;
}

/** Where an MP4 keeps its pictures; `null`: nowhere. */
export async function pictureData(file: string): Promise<PictureData | null> {
  const handle = await open(file);
  try {
    const boxes = (await topBoxes(handle)).filter(({ type }) => type === 'mdat');
    boxes.sort((a, b) => b.end - b.start - (a.end - a.start));
    return boxes[0] ?? null;
  } finally {
    await handle.close();
  }
}

/** Parameter sets that a film without index carries among its pictures; `null`: none. */
export async function ownSets(file: string, { start, end }: PictureData): Promise<ParameterSets | null> {
  const handle = await open(file);
  try {
    return await setsInBand(new FileWindow(handle, end), start, end);
  } finally {
    await handle.close();
  }
}

/** Finds the pictures of a film without its index, given what a decoder must know; `null`: not one. */
export async function salvageFilm(file: string, data: PictureData, sets: ParameterSets): Promise<SalvagedFilm | null> {
  const handle = await open(file);
  try {
    const { pictures, gaps, lost } = await findPictures(new FileWindow(handle, data.end), data, sets);
    const count = pictures.length - misplaced(pictures, sets);
    if (count < 1) return null;
    const keyFrames = pictures.flatMap(({ key }, position) => (key && position < count ? [position] : []));
    return {
      codec: sets.codec,
      count,
      // Where pictures were searched for, damage may be a picture too many: reading is then one stretch from the start.
      keyFrames: gaps ? [0] : [...new Set([0, ...keyFrames])],
      counted: !gaps,
      sizes: pictures.slice(0, count).map(({ units }) => units.reduce((sum, { length }) => sum + length, 0)),
      lost,
      feed: (fromPosition) => Readable.from(stream(file, sets, pictures.slice(fromPosition))),
    };
  } finally {
    await handle.close();
  }
}

/** Finds the pictures of a film without its index that stand for themselves (ProRes, Motion JPEG); `null`: it has no such. */
export async function salvageWholePictures(file: string, data: PictureData): Promise<SalvagedFilm | null> {
  const handle = await open(file);
  try {
    const found = await findWholePictures(new FileWindow(handle, data.end), data);
    if (found === null) return null;
    return {
      codec: found.codec,
      count: found.pictures.length,
      keyFrames: found.pictures.map((_, position) => position),
      // Each tells its own length: none is found that is not one.
      counted: true,
      sizes: found.pictures.map(({ length }) => length),
      lost: null,
      feed: (fromPosition) => Readable.from(ivf(file, found.pictures.slice(fromPosition))),
    };
  } finally {
    await handle.close();
  }
}

/** The simplest container there is (IVF): a head of 32 bytes, then length and number before each picture; little endian. */
async function* ivf(file: string, pictures: WholePictures['pictures']): AsyncGenerator<Buffer> {
  const { width, height, fourcc } = pictures[0] ?? { width: 0, height: 0, fourcc: '' };
  const head = Buffer.alloc(32);
  head.write('DKIF');
  head.writeUInt16LE(head.length, 6);
  head.write(fourcc, 8);
  head.writeUInt16LE(width, 12);
  head.writeUInt16LE(height, 14);
  // A picture a tick of 1/25 s; the times mean nothing.
  head.writeUInt32LE(25, 16);
  head.writeUInt32LE(1, 20);
  head.writeUInt32LE(pictures.length, 24);
  yield head;
  const handle = await open(file);
  try {
    for (const [number, { at, length }] of pictures.entries()) {
      const bytes = Buffer.alloc(12 + length);
      bytes.writeUInt32LE(length, 0);
      bytes.writeUInt32LE(number, 4);
      await handle.read(bytes, 12, length, at);
      yield bytes;
    }
  } finally {
    await handle.close();
  }
}

/**
 * Pictures last shown whose place may be wrong, because one that is lost would be shown before them: at most as many as
 * the film may reorder. H.264 films rarely tell that number; there, pictures after the last one that is not
 * bipredicted, and that one.
 */
function misplaced(pictures: readonly CodedPicture[], { reorder }: ParameterSets): number {
  if (reorder !== null) return Math.min(reorder, pictures.length);
  if (!pictures.some(({ bipredicted }) => bipredicted)) return 0;
  return pictures.length - pictures.findLastIndex(({ bipredicted }) => !bipredicted);
}

const startCode = Buffer.from([0, 0, 0, 1]);
/** Bytes handed over at once. Chosen. */
const runBytes = 1 << 18;

/** H.264 and H.265, annex B: a start code before every unit in place of its length. */
async function* stream(file: string, sets: ParameterSets, pictures: readonly CodedPicture[]): AsyncGenerator<Buffer> {
  yield Buffer.concat(sets.units.flatMap((unit) => [startCode, unit]));
  const handle = await open(file);
  try {
    let run: Buffer[] = [];
    let length = 0;
    for (const unit of pictures.flatMap(({ units }) => units)) {
      const bytes = Buffer.alloc(4 + unit.length);
      startCode.copy(bytes);
      await handle.read(bytes, 4, unit.length, unit.at);
      run.push(bytes);
      length += bytes.length;
      if (length < runBytes) continue;
      yield Buffer.concat(run);
      run = [];
      length = 0;
    }
    yield Buffer.concat(run);
  } finally {
    await handle.close();
  }
}
