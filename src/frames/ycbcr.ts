/** Luma weights of a Y'CbCr matrix. */
export interface LumaWeights {
  readonly red: number;
  readonly blue: number;
}

export type MatrixName = 'bt601' | 'bt709' | 'bt2020' | 'rgb';
export type RangeName = 'limited' | 'full';

/**
 * Luma weights: ITU-R BT.601-7 2.5.1, BT.709-6 item 3.2, BT.2020-2 table 4 (non-constant luminance);
 * 601 and 709 also in the project's reference notes, 2020 from memory.
 */
export const lumaWeights: Readonly<Record<Exclude<MatrixName, 'rgb'>, LumaWeights>> = {
  bt601: { red: 0.299, blue: 0.114 },
  bt709: { red: 0.2126, blue: 0.0722 },
  bt2020: { red: 0.2627, blue: 0.0593 },
};

/** Code values of a sample format: where luma 0 and 1 lie, where chroma 0 lies and how far a chroma of 1 reaches. */
export interface CodeRange {
  readonly lumaZero: number;
  readonly lumaSpan: number;
  readonly chromaZero: number;
  readonly chromaSpan: number;
  readonly maximum: number;
}

/**
 * Quantisation of BT.601/709: limited range Y = (16 + 219 y) 2^(n-8), C = (128 + 224 c) 2^(n-8);
 * full range Y = (2^n - 1) y, C = 2^(n-1) + (2^n - 1) c (JFIF for 8 bit).
 */
export function codeRange(range: RangeName, bitDepth: number): CodeRange {
  const unit = 2 ** (bitDepth - 8);
  const maximum = 2 ** bitDepth - 1;
  const chromaZero = 128 * unit;
  return range === 'limited'
    ? { lumaZero: 16 * unit, lumaSpan: 219 * unit, chromaZero, chromaSpan: 224 * unit, maximum }
    : { lumaZero: 0, lumaSpan: maximum, chromaZero, chromaSpan: maximum, maximum };
}
