import { chromaSize, frameBytes, sampleBytes } from '../pixel-format.ts';
import type { CropPlan, Piece, PlannedRegion } from './crop-plan.ts';
import type { Coefficients } from './coefficients.ts';
import { mappedMemory, wasmMemory } from './mapped-memory.ts';
import { fewestBlocks, poolKernel, type PoolKernel } from './pool-kernel.ts';

/** Where one decoder's pictures arrive, with room for the planes made of them, so that both lie in the reach of the kernel. */
export interface PixelMemory {
  readonly bytes: Buffer;
  /** A plane of floats in this memory. */
  plane(samples: number): Float32Array;
  /**
   * What pools one piece of a region into planes of this memory, the same bits as poolPiece; `null` where that must do it:
   * a turned picture, a narrow piece, an engine without the instructions.
   */
  pooler(
    plan: CropPlan,
    region: PlannedRegion,
    piece: Piece,
    factors: Coefficients,
    planes: { readonly red: Float32Array; readonly green: Float32Array; readonly blue: Float32Array },
    target: { readonly start: number; readonly dx: number; readonly dy: number },
  ): (() => void) | null;
}

/** Doubles of factors a piece. */
const factorCount = 7;

export function createPixelMemory(plan: CropPlan): PixelMemory {
  const frame = frameBytes(plan.format, plan.width, plan.height);
  const taken = wholeEights(frame) + roomFor(plan);
  const pools = plan.regions.some(({ pixelsPerSample }) => pixelsPerSample > 1);
  const held = pools ? reserve(taken) : null;
  if (held === null) {
    const bytes = Buffer.from(mappedMemory(frame), 0, frame);
    return { bytes, plane: (samples) => new Float32Array(samples), pooler: () => null };
  }
  const { buffer, pool } = held;
  const take = taker(wholeEights(frame));
  const scratch = take(12 * plan.width);
  return {
    bytes: Buffer.from(buffer, 0, frame),
    plane: (samples) => new Float32Array(buffer, take(4 * samples), samples),
    pooler: (of, region, piece, factors, { red, green, blue }, { start, dx, dy }) => {
      const { format, width, height } = of;
      const side = region.pixelsPerSample;
      const count = piece.width / side;
      const ours = [red, green, blue].every((plane) => plane.buffer === buffer);
      if (!ours || dx !== 1 || count < fewestBlocks || format.model !== 'ycbcr') return null;
      const [chromaWidth, chromaHeight] = chromaSize(format, width, height);
      const [across, down] = [side / format.chromaX, side / format.chromaY];
      const [size, chroma] = [sampleBytes(format), across * down];
      const kept = take(8 * factorCount);
      const { lumaZero, luma, chromaZero, redCr, greenCb, greenCr, blueCb } = factors;
      const scales = [redCr, greenCb, greenCr, blueCb].map((factor) => factor / chroma);
      new Float64Array(buffer, kept, factorCount).set([
        ...[lumaZero * side * side, luma / (side * side), chromaZero * chroma],
        ...scales,
      ]);
      const place = size * (piece.stackY * width + piece.stackX);
      const second = size * width * height;
      const chromaPlace =
        second + size * (Math.floor(piece.stackY / format.chromaY) * chromaWidth + piece.stackX / format.chromaX);
      const floats = (plane: Float32Array): number => plane.byteOffset + 4 * start;
      const [toRed, toGreen, toBlue] = [floats(red), floats(green), floats(blue)];
      const third = chromaPlace + size * chromaWidth * chromaHeight;
      const rows = piece.height / side;
      const deep = size === 2 ? 1 : 0;
      const [stride, chromaStride] = [size * width, size * chromaWidth];
      return () =>
        pool(
          ...([place, stride, chromaPlace, third, chromaStride, side, across, down, deep, count, rows] as const),
          ...([kept, scratch, toRed, toGreen, toBlue, 4 * dy] as const),
        );
    },
  };
}

/** Room for the planes of one plan in one piece: of a picture that is looked at once, pooled without the kernel. */
export function planesInOnePiece(plan: CropPlan): Pick<PixelMemory, 'plane' | 'pooler'> {
  const buffer = mappedMemory(roomFor(plan));
  const take = taker(0);
  return { plane: (samples) => new Float32Array(buffer, take(4 * samples), samples), pooler: () => null };
}

/** Gives out bytes from `free` on, one piece after another. */
function taker(free: number): (size: number) => number {
  let next = free;
  return (size) => {
    const at = next;
    next += wholeEights(size);
    return at;
  };
}

/** Bytes beside the frame that pooled planes, their factors and the sums of one row may need. */
function roomFor({ width, regions }: CropPlan): number {
  return regions.reduce(
    (sum, { stored, pixelsPerSample: side, pieces }) =>
      sum + 3 * wholeEights((4 * stored.width * stored.height) / side ** 2) + pieces.length * 8 * factorCount,
    wholeEights(12 * width),
  );
}

function reserve(bytes: number): { readonly buffer: ArrayBuffer; readonly pool: PoolKernel } | null {
  const memory = wasmMemory(bytes);
  // A limit on virtual memory: plain memory and the slower way do.
  const pool = memory === null ? null : poolKernel(memory);
  return memory === null || pool === null ? null : { buffer: memory.buffer as ArrayBuffer, pool };
}

const wholeEights = (bytes: number): number => 8 * Math.ceil(bytes / 8);
