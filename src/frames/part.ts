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

/** A whole picture looked at before measuring. */
export interface PartLook {
  readonly position: number;
  /** The upright picture in 8 bit; it holds until another look's image is asked for. */
  image(): RgbImage;
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
   * for where that is quick, broken ones left out. No such method: `still` is quick.
   */
  looks?(positions: readonly number[]): AsyncIterable<PartLook>;
}
