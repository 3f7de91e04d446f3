import type { Sharp } from 'sharp';
import type { RgbImage } from '../../model/frame.ts';
import { loadSharp } from '../load-sharp.ts';

/** EXIF facts to write into a JPEG; names and formats as in EXIF 2.32. */
export interface ExifFacts {
  /** `YYYY:MM:DD HH:MM:SS`, the camera's own clock. */
  readonly dateTimeOriginal?: string;
  /** `+01:00`. */
  readonly offset?: string;
  /** Digits after the decimal point of the second. */
  readonly subSec?: string;
  readonly exposureTimeS?: number;
  readonly whiteBalance?: 'auto' | 'manual';
  readonly exposureMode?: 'auto' | 'manual';
  /** 1..8. */
  readonly orientation?: number;
}

/** Encodes a picture as JPEG (sRGB, no profile), with EXIF where asked. Quality 1..100; chroma 4:2:0 below 90. */
export async function encodeJpeg(
  image: RgbImage,
  options: { readonly quality: number; readonly exif?: ExifFacts },
): Promise<Uint8Array> {
  const exif = options.exif;
  let pipeline = (await raw(image)).jpeg({
    quality: options.quality,
    chromaSubsampling: options.quality < 90 ? '4:2:0' : '4:4:4',
  });
  if (exif !== undefined) {
    pipeline = pipeline.withExif({ IFD0: {}, IFD2: exifIfd(exif) });
    if (exif.orientation !== undefined) pipeline = pipeline.withMetadata({ orientation: exif.orientation });
  }
  return pipeline.toBuffer();
}

function exifIfd(exif: ExifFacts): Record<string, string> {
  const ifd: Record<string, string> = {};
  if (exif.dateTimeOriginal !== undefined) ifd['DateTimeOriginal'] = exif.dateTimeOriginal;
  if (exif.offset !== undefined) ifd['OffsetTimeOriginal'] = exif.offset;
  if (exif.subSec !== undefined) ifd['SubSecTimeOriginal'] = exif.subSec;
  if (exif.exposureTimeS !== undefined) ifd['ExposureTime'] = `${Math.round(exif.exposureTimeS * 1e6)}/1000000`;
  if (exif.whiteBalance !== undefined) ifd['WhiteBalance'] = exif.whiteBalance === 'auto' ? '0' : '1';
  if (exif.exposureMode !== undefined) ifd['ExposureMode'] = exif.exposureMode === 'auto' ? '0' : '1';
  return ifd;
}

/** Encodes a picture as PNG, 8 bit, no profile. */
export async function encodePng(image: RgbImage): Promise<Uint8Array> {
  return (await raw(image)).png().toBuffer();
}

/** A small JPEG for a report or a page: at most `maxWidth` pixels wide, never enlarged. */
export async function smallJpeg(image: RgbImage, maxWidth: number): Promise<Uint8Array> {
  return (await raw(image)).resize({ width: maxWidth, withoutEnlargement: true }).jpeg({ quality: 80 }).toBuffer();
}

/** Draws an SVG as PNG; one user unit becomes `scale` pixels (or `dpi` / 96). */
export async function rasteriseSvg(
  svg: string,
  options: { readonly scale?: number; readonly dpi?: number } = {},
): Promise<Uint8Array> {
  // librsvg counts 96 units an inch; sharp's density 72 means one pixel a unit (measured on a 10 x 10 SVG).
  const scale = options.scale ?? (options.dpi ?? 96) / 96;
  const sharp = await loadSharp();
  return sharp(Buffer.from(svg), { density: 72 * scale, limitInputPixels: 200e6 })
    .png()
    .toBuffer();
}

async function raw(image: RgbImage): Promise<Sharp> {
  const sharp = await loadSharp();
  return sharp(image.data, { raw: { width: image.width, height: image.height, channels: 3 } });
}
