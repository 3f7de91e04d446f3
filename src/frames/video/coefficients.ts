import { type PixelFormat, sampleBytes } from '../pixel-format.ts';
import type { PrimariesMatrix } from '../primaries.ts';
import { codeRange, lumaWeights, type MatrixName, type RangeName } from '../ycbcr.ts';

/** How code values become R'G'B'. */
export interface Conversion {
  readonly matrix: MatrixName;
  readonly range: RangeName;
  /** Primaries wider than sRGB are turned into it; left out: they are sRGB's. */
  readonly primaries?: PrimariesMatrix;
}

export type Samples = Uint8Array | Uint16Array;

/** R' = (Y - lumaZero) luma + (Cr - chromaZero) redCr, and so on. */
export interface Coefficients {
  readonly lumaZero: number;
  readonly luma: number;
  readonly chromaZero: number;
  readonly redCr: number;
  readonly greenCb: number;
  readonly greenCr: number;
  readonly blueCb: number;
}

export function coefficients(format: PixelFormat, conversion: Conversion): Coefficients {
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
export function samplesOf(format: PixelFormat, bytes: Uint8Array): Samples {
  // Always the plain kind of array, never Buffer: one kind lets the compiler make one quick loop.
  return sampleBytes(format) === 1
    ? new Uint8Array(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    : new Uint16Array(bytes.buffer, bytes.byteOffset, bytes.byteLength >> 1);
}
