import type { CropRequest, RegionPixels, RgbImage } from '../../model/frame.ts';
import { loadSharp } from '../load-sharp.ts';
import { encodeSrgb } from '../srgb-encoding.ts';
import type { Rect } from '../upright.ts';
import { boxAround, cutCrops, type Unit, unitFor } from './cut-crops.ts';
import { readHeic } from './heic.ts';
import { type GoodStill, pixelLimit } from './still-facts.ts';
import type { ProfileConversion } from './to-srgb.ts';

/**
 * Decodes the part of one picture that holds all crops and cuts these out of it. `profile` is what the picture's own
 * colour profile asks for, `null` for sRGB.
 * @throws Error with the decoder's words when the picture is damaged.
 */
export async function readCrops(
  facts: GoodStill,
  crops: readonly CropRequest[],
  profile: ProfileConversion | null,
): Promise<readonly RegionPixels[]> {
  const unit = unitFor(facts, crops);
  const box = boxAround(crops, unit, facts);
  const samples = await readBox(facts, box, unit);
  return cutCrops({ box, unit, samples, maximum: maximumCode(facts) }, facts, crops, profile);
}

/** Largest code value of the samples that are read from a picture. */
export function maximumCode(facts: GoodStill): number {
  return facts.bitDepth > 8 && !facts.heic ? 65535 : 255;
}

/** The box, each sample the mean of `unit` x `unit` pixels. */
export async function readBox(facts: GoodStill, box: Rect, unit: Unit): Promise<Uint8Array | Uint16Array> {
  if (facts.heic) return (await readHeic(facts.file, box)).data;
  const area = { left: box.x / unit, top: box.y / unit, width: box.width / unit, height: box.height / unit };
  const whole = box.width === facts.width && box.height === facts.height;
  const sharp = await loadSharp();
  // ignoreIcc: sharp would convert to sRGB and cut off what lies outside it.
  let pipeline = sharp(facts.file, { ignoreIcc: true, limitInputPixels: pixelLimit });
  if (facts.orientation !== 1) pipeline = pipeline.autoOrient();
  if (unit === 2) pipeline = pipeline.resize(facts.width / 2, facts.height / 2, { fit: 'fill' });
  // libvips then lets the JPEG decoder do one halving; the straight kernel, which does the other, has no lobes below zero.
  if (unit === 4) pipeline = pipeline.resize(facts.width / 4, facts.height / 4, { fit: 'fill', kernel: 'linear' });
  if (!whole) pipeline = pipeline.extract(area);
  pipeline = pipeline.removeAlpha();
  if (maximumCode(facts) > 255) {
    const { data } = await pipeline
      .toColourspace('rgb16')
      .raw({ depth: 'ushort' })
      .toBuffer({ resolveWithObject: true });
    return new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2);
  }
  return pipeline.toColourspace('srgb').raw().toBuffer();
}

/** The whole upright picture in 8 bit, for looking at; sharp's own conversion to sRGB applies. */
export async function readWhole(facts: GoodStill): Promise<RgbImage> {
  if (facts.heic) return readHeic(facts.file, null);
  const sharp = await loadSharp();
  const { data, info } = await sharp(facts.file, { limitInputPixels: pixelLimit })
    .autoOrient()
    .removeAlpha()
    .toColourspace('srgb')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const samples = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
  if (facts.gamma !== null) {
    const encoded = Uint8Array.from({ length: 256 }, (_, code) =>
      Math.round(255 * encodeSrgb((code / 255) ** (1 / facts.gamma!))),
    );
    samples.forEach((code, at) => (samples[at] = encoded[code]!));
  }
  return { width: info.width, height: info.height, data: samples };
}
