import type { FileWindow } from './file-window.ts';
import { jpegAt } from './jpeg-picture.ts';
import { proresAt } from './prores-picture.ts';

/** A picture that needs no other and no settings, with its own length: where it lies, and what it says of itself. */
export interface WholePicture {
  readonly at: number;
  readonly length: number;
  readonly width: number;
  readonly height: number;
  /** Four letters by which a decoder knows its kind. */
  readonly fourcc: string;
}

export interface WholePictures {
  readonly codec: 'prores' | 'mjpeg';
  readonly pictures: readonly WholePicture[];
}

interface Kind {
  readonly codec: WholePictures['codec'];
  /** Bytes by which one is found, and how far behind its beginning they stand. */
  readonly mark: Buffer;
  readonly markAt: number;
  /** The picture that begins there; `null`: none, or the bytes end before it does. */
  read(window: FileWindow, at: number, end: number): Promise<WholePicture | null>;
}

const kinds: readonly Kind[] = [
  { codec: 'prores', mark: Buffer.from('icpf'), markAt: 4, read: proresAt },
  { codec: 'mjpeg', mark: Buffer.from([0xff, 0xd8, 0xff]), markAt: 0, read: jpegAt },
];

/** Bytes of other data (sound, the beginning) before the first picture or between two that are looked through. Chosen: as for coded pictures. */
const longestGap = 16 << 20;
/** Fewer are no film: a camera may keep a small picture among other data. Chosen. */
const fewest = 2;

/** Finds the pictures of a film that are whole by themselves, all of the size of the first; `null`: it has no such. */
export async function findWholePictures(
  window: FileWindow,
  { start, end }: { readonly start: number; readonly end: number },
): Promise<WholePictures | null> {
  for (const kind of kinds) {
    const pictures: WholePicture[] = [];
    let at = start;
    for (let next = await following(window, kind, at, end, null); next !== null;) {
      pictures.push(next);
      at = next.at + next.length;
      next = await following(window, kind, at, end, pictures[0]!);
    }
    if (pictures.length >= fewest) return { codec: kind.codec, pictures };
  }
  return null;
}

/** The next picture from a place on, of the same size and kind as `like`. */
async function following(
  window: FileWindow,
  kind: Kind,
  from: number,
  end: number,
  like: WholePicture | null,
): Promise<WholePicture | null> {
  const stop = Math.min(end, from + longestGap);
  for (let at = from; at < stop;) {
    const view = await window.peek(at, 1 << 16);
    const found = view.indexOf(kind.mark);
    if (found < 0) {
      at += Math.max(1, view.length - kind.mark.length + 1);
      continue;
    }
    const begins = at + found - kind.markAt;
    const picture = begins < from ? null : await kind.read(window, begins, end);
    const same =
      like === null ||
      (picture?.width === like.width && picture.height === like.height && picture.fourcc === like.fourcc);
    if (picture !== null && same) return picture;
    at += found + 1;
  }
  return null;
}
