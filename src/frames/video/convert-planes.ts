import type { RegionPixels, RgbImage } from '../../model/frame.ts';
import { chromaSize, frameBytes } from '../pixel-format.ts';
import { toSrgbPrimaries } from '../primaries.ts';
import { destination, uprightSize } from '../upright.ts';
import { type Coefficients, coefficients, type Conversion, samplesOf } from './coefficients.ts';
import type { CropPlan, Piece, PlannedRegion } from './crop-plan.ts';
import type { PixelMemory } from './pixel-memory.ts';
import { type Planes, planesOf, poolLightness, poolPiece } from './pool-planes.ts';

/**
 * Makes the converter of one decoder's pictures: raw planes in `bytes` to the regions' R'G'B', pooled as planned.
 * All arrays are made once; a frame costs no allocation. `memory`: the one that `bytes` lie in.
 */
export function planeConverter(
  plan: CropPlan,
  conversion: Conversion,
  bytes: Uint8Array,
  memory: Pick<PixelMemory, 'plane' | 'pooler'> | null = null,
): () => RegionPixels[] {
  const planes = planesOf(plan, samplesOf(plan.format, bytes));
  const factors = coefficients(plan.format, conversion);
  const whenAsked = plan.regions.map((region) => {
    const step = region.pixelsPerSample;
    const grey = greyOnly(plan, region);
    const pixels = emptyPixels(region, grey, step > 1 ? memory : null);
    const to = destination(region.stored.width / step, region.stored.height / step, plan.turn);
    const pieces = region.pieces.map((piece) => {
      const start = to.start + (piece.offsetX / step) * to.dx + (piece.offsetY / step) * to.dy;
      const target = { ...to, start };
      // The kernel makes light alone where chroma counts nothing.
      const own = grey ? { ...factors, redCr: 0, greenCb: 0, greenCr: 0, blueCb: 0 } : factors;
      const pool = step === 1 ? null : (memory?.pooler(plan, region, piece, own, pixels, target) ?? null);
      return { piece, target, pool };
    });
    return lazily(pixels, () => {
      for (const { piece, target, pool } of pieces) {
        if (pool !== null) pool();
        else if (grey) poolLightness(planes, plan, region, piece, factors, pixels.green, target);
        else if (step > 1) poolPiece(planes, plan, region, piece, factors, pixels, target);
        else single(planes, plan, piece, factors, pixels, target);
      }
      if (conversion.primaries !== undefined && !grey) toSrgbPrimaries(conversion.primaries, pixels);
    });
  });
  return () => whenAsked.map(({ next }) => next());
}

/**
 * A region whose planes are made when one of them is first asked for: what reads it then finds them in the processor's
 * cache, and a region that nobody reads costs nothing.
 */
function lazily(pixels: RegionPixels, convert: () => void): { readonly next: () => RegionPixels } {
  let due = true;
  const made = (): RegionPixels => {
    if (due) {
      due = false;
      convert();
    }
    return pixels;
  };
  const region: RegionPixels = Object.defineProperties(
    { ...pixels },
    {
      red: { enumerable: true, get: () => made().red },
      green: { enumerable: true, get: () => made().green },
      blue: { enumerable: true, get: () => made().blue },
    },
  );
  return {
    next: () => {
      due = true;
      return region;
    },
  };
}

type Target = ReturnType<typeof destination>;

/** One sample a pixel: 4:4:4, RGB (planes G B R) or grey. */
function single(
  { samples, starts }: Planes,
  plan: CropPlan,
  piece: Piece,
  { lumaZero, luma, chromaZero, redCr, greenCb, greenCr, blueCb }: Coefficients,
  { red, green, blue }: RegionPixels,
  target: Target,
): void {
  const model = plan.format.model;
  const scale = 1 / (2 ** plan.format.bitDepth - 1);
  for (let y = 0; y < piece.height; y++) {
    let at = target.start + y * target.dy;
    let i = (piece.stackY + y) * plan.width + piece.stackX;
    for (let x = 0; x < piece.width; x++, i++, at += target.dx) {
      if (model === 'rgb') {
        green[at] = samples[i]! * scale;
        blue[at] = samples[starts[1] + i]! * scale;
        red[at] = samples[starts[2] + i]! * scale;
        continue;
      }
      const light = (samples[i]! - lumaZero) * luma;
      const cb = model === 'grey' ? 0 : samples[starts[1] + i]! - chromaZero;
      const cr = model === 'grey' ? 0 : samples[starts[2] + i]! - chromaZero;
      red[at] = light + redCr * cr;
      green[at] = light + greenCb * cb + greenCr * cr;
      blue[at] = light + blueCb * cb;
    }
  }
}

/** Anchors serve to follow the camera: luma is all that is wanted of them, and their three planes are one. */
const greyOnly = ({ format }: CropPlan, { kind }: PlannedRegion): boolean =>
  kind === 'anchor' && format.model === 'ycbcr';

function emptyPixels(region: PlannedRegion, grey: boolean, memory: Pick<PixelMemory, 'plane'> | null): RegionPixels {
  const step = region.pixelsPerSample;
  const width = region.upright.width / step;
  const height = region.upright.height / step;
  const plane = (): Float32Array => memory?.plane(width * height) ?? new Float32Array(width * height);
  const green = plane();
  const planes = grey ? { red: green, green, blue: green } : { red: plane(), green, blue: plane() };
  return {
    ...{ id: region.id, kind: region.kind, x: region.upright.x, y: region.upright.y, width, height },
    pixelsPerSample: step,
    ...planes,
  };
}

/**
 * A whole stored picture as an upright 8-bit one for looking at: chroma repeated, values rounded and cut to 0..255.
 * `into`, where given and large enough, is overwritten.
 */
export function planesToImage(
  plan: Pick<CropPlan, 'format' | 'turn' | 'width' | 'height'>,
  conversion: Conversion,
  bytes: Uint8Array,
  into: Uint8ClampedArray = new Uint8ClampedArray(0),
): RgbImage {
  const { format, turn, width, height } = plan;
  const samples = samplesOf(format, bytes.subarray(0, frameBytes(format, width, height)));
  const f = coefficients(format, conversion);
  const [chromaWidth, chromaHeight] = chromaSize(format, width, height);
  const second = width * height;
  const third = second + chromaWidth * chromaHeight;
  const size = uprightSize(width, height, turn);
  const data = into.length === 3 * width * height ? into : new Uint8ClampedArray(3 * width * height);
  const to = destination(width, height, turn);
  const scale = 1 / (2 ** format.bitDepth - 1);
  const row = { red: new Float32Array(width), green: new Float32Array(width), blue: new Float32Array(width) };
  for (let y = 0; y < height; y++) {
    const chromaRow = Math.floor(y / format.chromaY) * chromaWidth;
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (format.model === 'rgb') {
        row.red[x] = samples[third + i]! * scale;
        row.green[x] = samples[i]! * scale;
        row.blue[x] = samples[second + i]! * scale;
        continue;
      }
      const c = chromaRow + (format.chromaX === 2 ? x >> 1 : x);
      const light = (samples[i]! - f.lumaZero) * f.luma;
      const cb = format.model === 'grey' ? 0 : samples[second + c]! - f.chromaZero;
      const cr = format.model === 'grey' ? 0 : samples[third + c]! - f.chromaZero;
      row.red[x] = light + f.redCr * cr;
      row.green[x] = light + f.greenCb * cb + f.greenCr * cr;
      row.blue[x] = light + f.blueCb * cb;
    }
    if (conversion.primaries !== undefined) toSrgbPrimaries(conversion.primaries, row);
    for (let x = 0; x < width; x++) {
      const p = 3 * (to.start + x * to.dx + y * to.dy);
      data[p] = 255 * row.red[x]!;
      data[p + 1] = 255 * row.green[x]!;
      data[p + 2] = 255 * row.blue[x]!;
    }
  }
  return { ...size, data: new Uint8Array(data.buffer) };
}
