import { mean } from './mean.ts';

/** Ordinary least-squares line with what inference on it needs. */
export interface StraightLine {
  readonly slope: number;
  readonly intercept: number;
  /** Residual standard deviation s_y/x; `null` with two points only. */
  readonly residualSd: number | null;
  readonly count: number;
  readonly df: number;
  readonly meanX: number;
  readonly meanY: number;
  /** Sum of squares of x about its mean. */
  readonly sxx: number;
}

/** `null` for fewer than two points or no spread in x. Throws RangeError on unequal lengths. */
export function straightLine(x: readonly number[], y: readonly number[]): StraightLine | null {
  if (x.length !== y.length) throw new RangeError(`straightLine: ${x.length} x for ${y.length} y`);
  const count = x.length;
  if (count < 2) return null;
  const meanX = mean(x);
  const meanY = mean(y);
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < count; i += 1) {
    sxx += (x[i]! - meanX) ** 2;
    sxy += (x[i]! - meanX) * (y[i]! - meanY);
  }
  if (!(sxx > 0)) return null;
  const slope = sxy / sxx;
  const intercept = meanY - slope * meanX;
  const squares = y.reduce((sum, value, i) => sum + (value - meanY - slope * (x[i]! - meanX)) ** 2, 0);
  const df = count - 2;
  return { slope, intercept, residualSd: df > 0 ? Math.sqrt(squares / df) : null, count, df, meanX, meanY, sxx };
}
