import type { OpenSource } from '../frames/index.ts';
import { smallJpeg } from '../frames/index.ts';
import { judgeFrames } from '../light/index.ts';
import type { RegionLook } from './preview-glance.ts';

/** A frame that analyse would not use, as far as can be told beforehand. */
export interface FrameInQuestion {
  readonly index: number;
  /** `null`: it has no time. */
  readonly timeRunS: number | null;
  readonly reason: string;
  /** A still's file, relative to the run file; `null` for film. */
  readonly file: string | null;
  /** `null`: it cannot be read, so there is nothing to see. */
  readonly picture: SheetPicture | null;
}

export interface SheetPicture {
  readonly jpegBase64: string;
  readonly width: number;
  readonly height: number;
}

export interface LookedFrame {
  readonly index: number;
  readonly timeRunS: number;
  readonly file: string | null;
  /** In the order of the regions. */
  readonly looks: readonly RegionLook[];
}

/** Judges the frames looked at by the means of their regions, as analyse will by robust ones. */
export function judgeLooks(
  frames: readonly LookedFrame[],
  vialCount: number,
): readonly (Omit<FrameInQuestion, 'picture' | 'timeRunS'> & { readonly timeRunS: number })[] {
  const count = frames[0]?.looks.length ?? 0;
  const columns = Array.from({ length: count }, (_, at) => ({
    id: frames[0]!.looks[at]!.id,
    red: frames.map(({ looks }) => looks[at]!.linear[0]),
    green: frames.map(({ looks }) => looks[at]!.linear[1]),
    blue: frames.map(({ looks }) => looks[at]!.linear[2]),
  }));
  const reasons = judgeFrames({
    vials: columns.slice(0, vialCount),
    patches: columns.slice(vialCount),
    cameraLost: [],
  });
  return frames.flatMap(({ index, timeRunS, file }, at) => {
    const reason = reasons[at] ?? null;
    return reason === null ? [] : [{ index, timeRunS, file, reason }];
  });
}

/** Pictures on the sheet, and their width in pixels; chosen: one page, details of a vial to be seen. */
const mostPictures = 12;
export const pictureWidth = 320;

/**
 * The frames for the contact sheet: of every reason the first, the last, and those between evenly, at most
 * {@link mostPictures} in all.
 */
export function choosePictured<T extends { readonly index: number; readonly reason: string }>(
  frames: readonly T[],
): readonly T[] {
  const reasons = [...new Set(frames.map(({ reason }) => reason.replaceAll(/\d+/g, '#')))];
  const each = Math.max(1, Math.floor(mostPictures / Math.max(1, reasons.length)));
  const chosen = reasons.flatMap((wanted) => {
    const same = frames.filter(({ reason }) => reason.replaceAll(/\d+/g, '#') === wanted);
    const places = Array.from({ length: Math.min(each, same.length) }, (_, i) =>
      each === 1 ? 0 : Math.round((i * (same.length - 1)) / Math.max(1, Math.min(each, same.length) - 1)),
    );
    return [...new Set(places)].map((place) => same[place]!);
  });
  return chosen.slice(0, mostPictures).sort((first, second) => first.index - second.index);
}

/** A small picture of a frame; `null` when it cannot be read. */
export async function pictureAt(source: OpenSource, timeRunS: number): Promise<SheetPicture | null> {
  const { image } = await source.still(timeRunS);
  const jpeg = await smallJpeg(image, pictureWidth);
  const width = Math.min(pictureWidth, image.width);
  return {
    jpegBase64: Buffer.from(jpeg).toString('base64'),
    width,
    height: Math.round((image.height * width) / image.width),
  };
}
