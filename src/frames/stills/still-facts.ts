import { stat } from 'node:fs/promises';
import exifr from 'exifr';
import type { Metadata } from 'sharp';
import type { CameraSettings } from '../../model/frame.ts';
import { loadSharp } from '../load-sharp.ts';
import type { WidePrimaries } from '../primaries.ts';
import { hasEmptyTail } from './empty-tail.ts';
import { naiveSeconds } from './naive-seconds.ts';
import { readNclx } from './nclx.ts';
import { pngGamma } from './png-gamma.ts';

/** When a camera says it took a picture, as written. */
export interface ExifTime {
  /** `YYYY:MM:DD HH:MM:SS`. */
  readonly dateTime: string;
  /** Fraction of a second, 0..1; `null` not written. */
  readonly fraction: number | null;
  /** Offset from UTC in minutes; `null` not written. */
  readonly offsetMin: number | null;
}

/** One picture, looked into but not decoded; `problem` says why it cannot be used. */
export type StillFacts =
  | {
      readonly file: string;
      readonly problem: null;
      /** sharp's name of the format: jpeg, png, tiff, webp, heif. */
      readonly format: string;
      /** Upright size. */
      readonly width: number;
      readonly height: number;
      /** EXIF 1..8. */
      readonly orientation: number;
      readonly bitDepth: number;
      readonly chromaSubsampled: boolean;
      readonly icc: Uint8Array | null;
      /** HEVC inside (HEIC): read by another decoder. */
      readonly heic: boolean;
      /** Primaries named by the container of a picture without profile. */
      readonly wide: WidePrimaries | null;
      /** Code values are light to this power, as a PNG without profile says; `null`: as in sRGB. */
      readonly gamma: number | null;
      readonly bytes: number;
      /** When the file was last written, seconds of the system's clock. */
      readonly modifiedS: number;
      readonly time: ExifTime | null;
      readonly settings: CameraSettings | null;
    }
  | { readonly file: string; readonly problem: string };

export type GoodStill = Extract<StillFacts, { problem: null }>;

/** Largest picture we agree to decode, pixels; chosen: above any camera in use (200 million), a few GB of memory. */
export const pixelLimit = 220e6;

/** Reads size, depth, profile and EXIF of a picture without decoding it. Never throws for a bad file: says so. */
export async function readStillFacts(file: string): Promise<StillFacts> {
  const entry = await stat(file).catch(() => null);
  if (entry === null) return { file, problem: 'the file is missing, or a link to nowhere' };
  // A device or pipe would be read for ever.
  if (!entry.isFile()) return { file, problem: 'neither a file nor a link to one' };
  if (entry.size === 0) return { file, problem: 'the file is empty (0 bytes)' };
  const sharp = await loadSharp();
  let meta: Metadata;
  try {
    meta = await sharp(file, { limitInputPixels: pixelLimit }).metadata();
  } catch (error) {
    const words = firstLine(error);
    const problem = words.includes('exceeds pixel limit')
      ? `it claims more pixels than any camera's picture has (over ${pixelLimit / 1e6} million)`
      : `not a readable picture (${words})`;
    return { file, problem };
  }
  if (meta.format === 'jpeg' && (await hasEmptyTail(file, entry.size)))
    return { file, problem: 'written only in part (a full card, a power cut): its end is empty' };
  if (meta.isPalette === true) return { file, problem: paletteProblem };
  // HEIF files hold small versions by design.
  if (meta.format !== 'heif' && (await holdsSeveral(file, meta))) return { file, problem: severalProblem(meta.pages!) };
  if (meta.space === 'cmyk') return { file, problem: cmykProblem };
  const coded = meta.format === 'heif' && meta.icc === undefined ? await readNclx(file) : null;
  if (coded !== null && coded.highDynamicRange !== null) return { file, problem: hdrProblem(coded.highDynamicRange) };
  // HEIF carries its rotation in the container; decoders apply it, and the EXIF value must not be applied again.
  const orientation = meta.format === 'heif' ? 1 : (meta.orientation ?? 1);
  const turned = orientation >= 5;
  const exif = await readExif(file);
  return {
    file,
    problem: null,
    format: meta.format,
    width: turned ? meta.height : meta.width,
    height: turned ? meta.width : meta.height,
    orientation,
    bitDepth: meta.depth === 'ushort' ? 16 : (meta.bitsPerSample ?? 8),
    chromaSubsampled: meta.chromaSubsampling !== undefined && !meta.chromaSubsampling.startsWith('4:4:4'),
    icc: meta.icc === undefined ? null : new Uint8Array(meta.icc),
    heic: meta.format === 'heif' && meta.compression === 'hevc',
    wide: coded?.primaries ?? null,
    gamma: meta.format === 'png' ? await pngGamma(file) : null,
    ...{ bytes: entry.size, modifiedS: entry.mtimeMs / 1000 },
    time: exifTime(exif),
    settings: exifSettings(exif),
  };
}

/** Measured on a rack saved with 256 colours: an extent of 0.88 came out as 0.66. */
const paletteProblem = 'a picture of at most 256 colours (a palette), which are not its true ones; use the original';

/** Said for printing colours, which say nothing exact about light. */
const cmykProblem = 'a CMYK picture (made for printing); save it as RGB straight from the camera';

/** Whether pages follow that are pictures of their own: a camera's TIFF may have a small version of its picture as the second. */
async function holdsSeveral(file: string, { pages = 1, width, height, pageHeight }: Metadata): Promise<boolean> {
  if (pages < 2) return false;
  const sharp = await loadSharp();
  const second = await sharp(file, { page: 1, limitInputPixels: pixelLimit }).metadata();
  return second.width >= width && second.height >= (pageHeight ?? height);
}

/** Only the first would be seen. */
const severalProblem = (count: number): string =>
  `${count} pictures in one file (an animation, or pages); save each as a file of its own`;

function hdrProblem(kind: 'PQ' | 'HLG'): string {
  return `a high dynamic range picture (${kind}), which is not read; switch HDR off in the camera`;
}

function firstLine(error: unknown): string {
  return (error instanceof Error ? error.message : String(error)).trim().split('\n')[0]!.slice(0, 160);
}

type Tags = Readonly<Record<string, unknown>>;

async function readExif(file: string): Promise<Tags> {
  try {
    const options = { tiff: true, ifd0: {}, exif: true, translateValues: false, reviveValues: false } as const;
    return ((await exifr.parse(file, options)) as Tags | undefined) ?? {};
  } catch {
    return {}; // No EXIF, or a broken block: the picture itself may be fine.
  }
}

function exifTime(tags: Tags): ExifTime | null {
  const dateTime = tags['DateTimeOriginal'] ?? tags['DateTimeDigitized'] ?? tags['CreateDate'];
  if (typeof dateTime !== 'string' || !/^\d{4}:\d\d:\d\d \d\d:\d\d:\d\d/.test(dateTime)) return null;
  // A camera whose clock was never set writes zeros.
  if (Number.isNaN(naiveSeconds(dateTime.slice(0, 19)))) return null;
  const sub = String(tags['SubSecTimeOriginal'] ?? '').trim();
  const offset = /^([+-])(\d\d):(\d\d)/.exec(String(tags['OffsetTimeOriginal'] ?? '').trim());
  return {
    dateTime: dateTime.slice(0, 19),
    fraction: /^\d+$/.test(sub) ? Number(`0.${sub}`) : null,
    offsetMin: offset === null ? null : (offset[1] === '-' ? -1 : 1) * (Number(offset[2]) * 60 + Number(offset[3])),
  };
}

function exifSettings(tags: Tags): CameraSettings | null {
  const number = (key: string): number | null => {
    const value = tags[key];
    return typeof value === 'number' && Number.isFinite(value) ? value : null;
  };
  // EXIF 2.32: ExposureMode 0 auto, 1 manual (2 bracket); WhiteBalance 0 auto, 1 manual.
  const mode = (key: string): 'auto' | 'manual' | null => {
    const value = tags[key];
    return value === 0 ? 'auto' : value === 1 ? 'manual' : null;
  };
  const settings: CameraSettings = {
    exposureTimeS: number('ExposureTime'),
    iso: number('ISO') ?? number('ISOSpeedRatings'),
    fNumber: number('FNumber'),
    exposureMode: mode('ExposureMode'),
    whiteBalance: mode('WhiteBalance'),
  };
  return Object.values(settings).every((value) => value === null) ? null : settings;
}
