import type { RegionPixels, RgbImage } from '../../model/frame.ts';
import { chromaSize, frameBytes, type PixelFormat, sampleBytes } from '../pixel-format.ts';
import { type PrimariesMatrix, toSrgbPrimaries } from '../primaries.ts';
import { destination, uprightSize } from '../upright.ts';
import { codeRange, lumaWeights, type MatrixName, type RangeName } from '../ycbcr.ts';
import type { CropPlan, Piece, PlannedRegion } from './crop-plan.ts';

/** How code values become R'G'B'. */
export interface Conversion {
  readonly matrix: MatrixName;
  readonly range: RangeName;
  /** Primaries wider than sRGB are turned into it; left out: they are sRGB's. */
  readonly primaries?: PrimariesMatrix;
}

type Samples = Uint8Array | Uint16Array;

/** R' = (Y - lumaZero) luma + (Cr - chromaZero) redCr, and so on. */
interface Coefficients {
  readonly lumaZero: number;
  readonly luma: number;
  readonly chromaZero: number;
  readonly redCr: number;
  readonly greenCb: number;
  readonly greenCr: number;
  readonly blueCb: number;
}

function coefficients(format: PixelFormat, conversion: Conversion): Coefficients {
  const { lumaZero, lumaSpan, chromaZero, chromaSpan } = codeRange(conversion.range, format.bitDepth);
  const { red, blue } = lumaWeights[conversion.matrix === 'rgb' ? 'bt709' : conversion.matrix];
  const green = 1 - red - blue;
  const redCr = (2 * (1 - red)) / chromaSpan;
  const blueCb = (2 * (1 - blue)) / chromaSpan;
  return {
    ...{ lumaZero, luma: 1 / lumaSpan, chromaZero, redCr, blueCb },
    greenCb: (-blue * blueCb) / green,
    greenCr: (-red * redCr) / green,
  };
}

/** A view of raw bytes as samples. The bytes must start at an even address for deep formats. */
function samplesOf(format: PixelFormat, bytes: Uint8Array): Samples {
  // Always the plain kind of array, never Buffer: one kind lets the compiler make one quick loop.
  return sampleBytes(format) === 1
    ? new Uint8Array(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    : new Uint16Array(bytes.buffer, bytes.byteOffset, bytes.byteLength >> 1);
}

/**
 * Makes the converter of one decoder's pictures: raw planes in `bytes` to the regions' R'G'B'. Where chroma is
 * subsampled a sample is a 2 x 2 block: luma averaged, chroma as stored (its quarter-pixel siting does not matter to
 * regions). All arrays are made once; a frame costs no allocation.
 */
export function planeConverter(plan: CropPlan, conversion: Conversion, bytes: Uint8Array): () => RegionPixels[] {
  const samples = samplesOf(plan.format, bytes);
  const factors = coefficients(plan.format, conversion);
  const step = plan.pixelsPerSample;
  const regions = plan.regions.map((region) => ({ region, pixels: emptyPixels(region, step) }));
  const [chromaWidth, chromaHeight] = chromaSize(plan.format, plan.width, plan.height);
  const planes = [0, plan.width * plan.height, plan.width * plan.height + chromaWidth * chromaHeight] as const;
  const whenAsked = regions.map(({ region, pixels }) => {
    const to = destination(region.stored.width / step, region.stored.height / step, plan.turn);
    const pieces = region.pieces.map((piece) => {
      const start = to.start + (piece.offsetX / step) * to.dx + (piece.offsetY / step) * to.dy;
      return { piece, target: { ...to, start } };
    });
    return lazily(pixels, () => {
      for (const { piece, target } of pieces) {
        if (plan.format.model === 'ycbcr' && step === 2) blocks(samples, planes, plan, piece, factors, pixels, target);
        else single(samples, planes, plan, piece, factors, pixels, target);
      }
      if (conversion.primaries !== undefined) toSrgbPrimaries(conversion.primaries, pixels);
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
type Planes = readonly [number, number, number];

function blocks(
  samples: Samples,
  planes: Planes,
  plan: CropPlan,
  piece: Piece,
  { lumaZero, luma, chromaZero, redCr, greenCb, greenCr, blueCb }: Coefficients,
  { red, green, blue }: RegionPixels,
  target: Target,
): void {
  const stride = plan.width;
  const chromaStride = Math.ceil(stride / 2);
  const tall = plan.format.chromaY === 1;
  const quarter = luma / 4;
  const dark = 4 * lumaZero;
  const blueStart = planes[1];
  const redStart = planes[2];
  for (let y = 0; y < piece.height; y += 2) {
    let at = target.start + (y >> 1) * target.dy;
    let upper = planes[0] + (piece.stackY + y) * stride + piece.stackX;
    const chromaRow = tall ? piece.stackY + y : (piece.stackY + y) >> 1;
    const chroma = chromaRow * chromaStride + (piece.stackX >> 1);
    let blueAt = blueStart + chroma;
    let redAt = redStart + chroma;
    for (const end = upper + piece.width; upper < end; upper += 2, blueAt++, redAt++, at += target.dx) {
      const lower = upper + stride;
      const sum = samples[upper]! + samples[upper + 1]! + samples[lower]! + samples[lower + 1]!;
      let cb = samples[blueAt]!;
      let cr = samples[redAt]!;
      if (tall) {
        cb = (cb + samples[blueAt + chromaStride]!) / 2;
        cr = (cr + samples[redAt + chromaStride]!) / 2;
      }
      cb -= chromaZero;
      cr -= chromaZero;
      const light = (sum - dark) * quarter;
      red[at] = light + redCr * cr;
      green[at] = light + greenCb * cb + greenCr * cr;
      blue[at] = light + blueCb * cb;
    }
  }
}

/** One sample a pixel: 4:4:4, RGB (planes G B R) or grey. */
function single(
  samples: Samples,
  planes: Planes,
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
        blue[at] = samples[planes[1] + i]! * scale;
        red[at] = samples[planes[2] + i]! * scale;
        continue;
      }
      const light = (samples[i]! - lumaZero) * luma;
      const cb = model === 'grey' ? 0 : samples[planes[1] + i]! - chromaZero;
      const cr = model === 'grey' ? 0 : samples[planes[2] + i]! - chromaZero;
      red[at] = light + redCr * cr;
      green[at] = light + greenCb * cb + greenCr * cr;
      blue[at] = light + blueCb * cb;
    }
  }
}

function emptyPixels(region: PlannedRegion, step: 1 | 2): RegionPixels {
  const width = region.upright.width / step;
  const height = region.upright.height / step;
  const plane = (): Float32Array => new Float32Array(width * height);
  return {
    ...{ id: region.id, kind: region.kind, x: region.upright.x, y: region.upright.y, width, height },
    ...{ pixelsPerSample: step, red: plane(), green: plane(), blue: plane() },
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
