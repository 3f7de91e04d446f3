import type { CameraSettings, CropRequest, RegionPixels, RgbImage } from '../model/frame.ts';
import type { Note } from './note.ts';

/** One frame of a part, before the run's clock: pixels, or `null` with the reason. */
export interface PartFrame {
  /** Place in the part, from 0. */
  readonly position: number;
  readonly regions: readonly RegionPixels[] | null;
  readonly reason: string | null;
  readonly settings: CameraSettings | null;
  /** As shown to the user; `null` for film. */
  readonly file: string | null;
}

/** Encoded lightness in whole steps, row by row: for finding places, not for colour. */
export interface GreyPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Lightness of a picture, BT.601 weights (any fixed ones would do). */
export function lightnessOfImage({ width, height, data }: RgbImage): GreyPicture {
  const grey = new Uint8Array(width * height);
  for (let at = 0, from = 0; at < grey.length; at += 1, from += 3) {
    grey[at] = (77 * data[from]! + 150 * data[from + 1]! + 29 * data[from + 2]! + 128) >> 8;
  }
  return { width, height, data: grey };
}

/** A whole picture looked at before measuring. */
export interface PartLook {
  readonly position: number;
  /** Frame pixels along each axis for a pixel of its image and lightness: 1, or more where a small look was asked for. */
  readonly pixelsPerSample: number;
  /** The upright picture in 8 bit; it holds until another look's image is asked for. */
  image(): RgbImage;
  /** A smaller one, pixels averaged, at least `width` wide where the frame is. */
  thumbnail(width: number): RgbImage;
  /** Its lightness, upright. */
  lightness(): GreyPicture;
  /** Crops of it in the form that `frames` gives them; `null`: cut them out of the image. */
  regions(crops: readonly CropRequest[]): readonly RegionPixels[] | null;
}

export interface ReadOptions {
  /** Frames from this position on are not wanted; `null`: all. */
  readonly endPosition: number | null;
  /** Frames may come out of order, for speed. */
  readonly anyOrder: boolean;
  readonly glance: boolean;
  readonly signal?: AbortSignal | undefined;
}

/** A film, or a series of stills: what a source is made of. Times are seconds of its own: playback, or camera clock. */
export interface Part {
  readonly kind: 'video' | 'stills';
  readonly shown: string;
  readonly width: number;
  readonly height: number;
  /** `null` unknown before decoding. */
  readonly count: number | null;
  /** Own time of a frame; `null` where it has none (a picture without a clock, beyond the known index). */
  timeAt(position: number): number | null;
  /** Usual distance of two frames in own time; `null` unknown. */
  readonly stepS: number | null;
  readonly codec: string;
  readonly bitDepth: number;
  readonly chromaSubsampled: boolean;
  readonly transferTag: string | null;
  readonly conversion: string | null;
  readonly decoder: string;
  readonly notes: readonly Note[];
  /** Absolute paths of all files read. */
  readonly files: readonly string[];
  /** Position at which a second reading may begin on its own, for frames up to `endPosition`; `null`: nowhere. */
  splitAt(endPosition: number | null): number | null;
  frames(crops: readonly CropRequest[], options: ReadOptions): AsyncIterable<PartFrame>;
  /** The picture at a position, or the next readable one; `null` when there is none. */
  still(position: number): Promise<{ readonly image: RgbImage; readonly position: number } | null>;
  /**
   * Pictures at or near these positions, as many where possible, that are quick to get: each once, in the order asked
   * for where that is quick, broken ones left out. Small ones where `crops` are given and may be cut out of such.
   * No such method, or `null`: `still` is quick.
   */
  looks?(positions: readonly number[], crops: readonly CropRequest[] | null): AsyncIterable<PartLook> | null;
}
