import type { RgbImage } from '../../model/frame.ts';
import type { GreyPicture } from '../part.ts';
import { destination, uprightSize } from '../upright.ts';
import { type Conversion, samplesOf } from './coefficients.ts';
import { planeConverter, planesToImage } from './convert-planes.ts';
import { type CropPlan, planCrops } from './crop-plan.ts';
import { planesInOnePiece } from './pixel-memory.ts';

type Whole = Pick<CropPlan, 'format' | 'turn' | 'width' | 'height'>;

/** The picture at 1/8, 1/4, 1/2 or its own size, the smallest at least `width` wide; pixels averaged. */
export function thumbnailOf(whole: Whole, conversion: Conversion, bytes: Uint8Array, width: number): RgbImage {
  const { format, turn } = whole;
  const size = uprightSize(whole.width, whole.height, turn);
  const pooling = ([8, 4, 2] as const).find((side) => size.width >= side * width);
  if (pooling === undefined || format.model !== 'ycbcr') return planesToImage(whole, conversion, bytes);
  const crop = { id: '', kind: 'vial', x: 0, y: 0, ...size, pooling } as const;
  const plan = planCrops([crop], { width: whole.width, height: whole.height }, format, turn, true);
  const [{ width: across, height, red, green, blue }] = planeConverter(
    plan,
    conversion,
    bytes,
    planesInOnePiece(plan),
  )() as [ReturnType<ReturnType<typeof planeConverter>>[number]];
  const data = new Uint8ClampedArray(3 * across * height);
  for (let at = 0, to = 0; at < red.length; at++, to += 3) {
    data[to] = 255 * red[at]!;
    data[to + 1] = 255 * green[at]!;
    data[to + 2] = 255 * blue[at]!;
  }
  return { width: across, height, data: new Uint8Array(data.buffer) };
}

/** Luma codes of the upright picture, as they are stored, in eight bits; they may be those in `bytes`. `null` where the film has no luma. */
export function lightnessOf({ format, turn, width, height }: Whole, bytes: Uint8Array): GreyPicture | null {
  if (format.model === 'rgb') return null;
  const samples = samplesOf(format, bytes);
  const size = uprightSize(width, height, turn);
  const drop = format.bitDepth - 8;
  if (turn === 0 && drop === 0) return { ...size, data: bytes.subarray(0, width * height) };
  const data = new Uint8Array(width * height);
  const { start, dx, dy } = destination(width, height, turn);
  for (let row = 0, from = 0; row < height; row++) {
    let at = start + row * dy;
    for (const end = from + width; from < end; from++, at += dx) data[at] = samples[from]! >> drop;
  }
  return { ...size, data };
}
