/** A whole upright picture, interleaved encoded R'G'B', 0..1 nominal per value scaled to 8 bit. */
export interface RgbImage {
  readonly width: number;
  readonly height: number;
  /** 3 bytes a pixel. */
  readonly data: Uint8Array;
}

export type CropKind = 'vial' | 'white' | 'chart' | 'anchor';

/** A rectangle of the upright frame that the decoder is asked for (whole pixels, inside the frame). */
export interface CropRequest {
  readonly id: string;
  readonly kind: CropKind;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** Pixels along each axis that may be averaged into one sample, 1, 2, 4 or 8; left out: as fine as there is. A decoder may give finer ones. */
  readonly pooling?: Pooling;
}

export type Pooling = 1 | 2 | 4 | 8;

/**
 * The pixels of one crop of one frame: encoded (non-linear) R'G'B' planes, row by row.
 * 0..1 nominal; values a little outside occur (chroma quantisation) and are kept, because cutting them would bias means.
 * The arrays are reused: they hold until the next frame is asked for. Of an `anchor` only the lightness is sure to be told, alike in all three.
 */
export interface RegionPixels {
  readonly id: string;
  readonly kind: CropKind;
  /** Left and top edge of the first sample, pixels of the upright frame. */
  readonly x: number;
  readonly y: number;
  /** Size in samples. */
  readonly width: number;
  readonly height: number;
  /** Frame pixels covered by one sample along each axis: 1, 2 where chroma of a 4:2:0 film sets the grid, or what was asked for as pooling. */
  readonly pixelsPerSample: number;
  readonly red: Float32Array;
  readonly green: Float32Array;
  readonly blue: Float32Array;
}

/** Camera settings written with a still; `null` where the file does not tell. */
export interface CameraSettings {
  readonly exposureTimeS: number | null;
  readonly iso: number | null;
  readonly fNumber: number | null;
  readonly exposureMode: 'auto' | 'manual' | null;
  readonly whiteBalance: 'auto' | 'manual' | null;
}

/** Why a film's frame that shows the picture before once more is not used: nothing was lost by it. */
export const repeatedReason = 'repeated: shows the picture before once more';

/** One frame on its way from the decoder: accepted with pixels, or rejected with the reason. */
export type FramePixels =
  | {
      readonly kind: 'frame';
      /** Running number over the whole source, rejected frames counted too, from 0. */
      readonly index: number;
      /** The run's clock, seconds; first frame of the source = 0. */
      readonly timeRunS: number;
      readonly regions: readonly RegionPixels[];
      readonly settings: CameraSettings | null;
      /** File of a still relative to the run file; `null` for video. */
      readonly file: string | null;
    }
  | {
      readonly kind: 'rejected';
      readonly index: number;
      readonly timeRunS: number | null;
      readonly reason: string;
      readonly file: string | null;
    };

/** What was learnt about the source before any frame was measured. */
export interface SourceInfo {
  readonly kind: 'video' | 'stills';
  /** Upright size, pixels. */
  readonly width: number;
  readonly height: number;
  /** Frames promised by the container or found in the folder; `null` unknown. */
  readonly frameCount: number | null;
  /** Run clock of the last frame as far as known, seconds. */
  readonly durationS: number | null;
  readonly codec: string;
  readonly bitDepth: number;
  /** Bits after which values are exact, whether colour is subsampled. */
  readonly chromaSubsampled: boolean;
  /** Transfer named by the file's tags: `srgb`, `bt709`, `hlg`, `pq`, `linear`, or `null` untagged. */
  readonly transferTag: string | null;
  /** Matrix and range used to turn Y'CbCr into R'G'B', and whether tagged or assumed; `null` for RGB stills. */
  readonly conversion: string | null;
  readonly decoder: string;
  /** Plain sentences for the user: what was assumed, found doubtful, repaired. */
  readonly notes: readonly { readonly code: string; readonly severity: 'info' | 'warn'; readonly message: string }[];
  /** Files read, relative to the run file where possible, with content hash. */
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
}
