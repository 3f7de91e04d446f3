import type { CropRequest, RegionPixels, RgbImage } from '../../model/frame.ts';
import { loadSharp } from '../load-sharp.ts';
import { encodeSrgb } from '../srgb-encoding.ts';
import type { Rect } from '../upright.ts';
import { readHeic } from './heic.ts';
import { type GoodStill, pixelLimit } from './still-facts.ts';
import { convertRow, type ProfileConversion } from './to-srgb.ts';

/** The smallest rectangle around all crops. */
export function boundingBox(crops: readonly CropRequest[]): Rect {
  const x = Math.min(...crops.map((crop) => crop.x));
  const y = Math.min(...crops.map((crop) => crop.y));
  const right = Math.max(...crops.map((crop) => crop.x + crop.width));
  const bottom = Math.max(...crops.map((crop) => crop.y + crop.height));
  return { x, y, width: right - x, height: bottom - y };
}

/**
 * Decodes the box of one picture and cuts the crops out of it, as encoded R'G'B', pooled as asked. `profile` is what the picture's own
 * colour profile asks for, `null` for sRGB.
 * @throws Error with the decoder's words when the picture is damaged.
 */
export async function readCrops(
  facts: GoodStill,
  crops: readonly CropRequest[],
  box: Rect,
  profile: ProfileConversion | null,
): Promise<readonly RegionPixels[]> {
  const unit = canHalve(facts, crops) ? 2 : 1;
  const samples = await readBox(facts, box, unit);
  const scale = 1 / maximumCode(facts);
  return crops.map((crop) => {
    const side = Math.max(1, (crop.pooling ?? 1) / unit);
    const across = crop.width / unit;
    const [width, height] = [Math.floor(across / side), Math.floor(crop.height / unit / side)];
    const region = emptyPlanes(width * height);
    const line = emptyPlanes(across);
    for (let row = 0; row < height * side; row++) {
      const from = 3 * (((crop.y - box.y) / unit + row) * (box.width / unit) + (crop.x - box.x) / unit);
      if (profile === null) scaleRow(samples, from, across, scale, line);
      else convertRow(profile, samples, from, across, line, 0);
      const at = Math.floor(row / side) * width;
      for (const plane of ['red', 'green', 'blue'] as const) poolRow(line[plane], side, width, region[plane], at);
    }
    return {
      ...{ id: crop.id, kind: crop.kind, x: crop.x, y: crop.y, width, height },
      pixelsPerSample: side * unit,
      ...region,
    };
  });
}

/**
 * Whether the picture may be decoded at half its size: a JPEG's blocks give the means of 2 x 2 pixels for half the work
 * of the pixels. Only where every region is pooled anyway, and all lie on whole such means.
 */
function canHalve({ format, width, height }: GoodStill, crops: readonly CropRequest[]): boolean {
  const even = (...values: readonly number[]): boolean => values.every((value) => value % 2 === 0);
  return (
    format === 'jpeg' &&
    even(width, height) &&
    crops.every((crop) => even(crop.x, crop.y, crop.width, crop.height)) &&
    crops.every(({ kind, pooling }) => kind === 'anchor' || (pooling ?? 1) > 1)
  );
}

type PixelPlanes = Pick<RegionPixels, 'red' | 'green' | 'blue'>;

const emptyPlanes = (count: number): PixelPlanes => ({
  red: new Float32Array(count),
  green: new Float32Array(count),
  blue: new Float32Array(count),
});

/** Adds one row of pixels to the row of samples that it is part of, as shares of their means. */
function poolRow(line: Float32Array, side: number, width: number, into: Float32Array, at: number): void {
  if (side === 1) {
    into.set(line, at);
    return;
  }
  const share = 1 / (side * side);
  for (let column = 0, from = 0; column < width; column++) {
    let sum = 0;
    for (const end = from + side; from < end; from++) sum += line[from]!;
    into[at + column]! += share * sum;
  }
}

/** Largest code value of the samples that are read from a picture. */
export function maximumCode(facts: GoodStill): number {
  return facts.bitDepth > 8 && !facts.heic ? 65535 : 255;
}

function scaleRow(
  samples: Uint8Array | Uint16Array,
  from: number,
  count: number,
  scale: number,
  { red, green, blue }: PixelPlanes,
): void {
  for (let i = 0, p = from; i < count; i++, p += 3) {
    red[i] = samples[p]! * scale;
    green[i] = samples[p + 1]! * scale;
    blue[i] = samples[p + 2]! * scale;
  }
}

/** The box, each sample the mean of `unit` x `unit` pixels. */
async function readBox(facts: GoodStill, box: Rect, unit: 1 | 2): Promise<Uint8Array | Uint16Array> {
  if (facts.heic) return (await readHeic(facts.file, box)).data;
  const area = { left: box.x / unit, top: box.y / unit, width: box.width / unit, height: box.height / unit };
  const whole = box.width === facts.width && box.height === facts.height;
  const sharp = await loadSharp();
  // ignoreIcc: sharp would convert to sRGB and cut off what lies outside it.
  let pipeline = sharp(facts.file, { ignoreIcc: true, limitInputPixels: pixelLimit });
  if (facts.orientation !== 1) pipeline = pipeline.autoOrient();
  // libvips then lets the JPEG decoder do the halving.
  if (unit === 2) pipeline = pipeline.resize(facts.width / 2, facts.height / 2, { fit: 'fill' });
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
