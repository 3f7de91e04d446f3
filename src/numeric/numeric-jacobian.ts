/** Evaluates all predictions at a parameter vector; entries may be non-finite where the model is undefined. */
export type VectorFunction = (parameters: Float64Array) => Float64Array;

export interface JacobianInput {
  readonly evaluate: VectorFunction;
  readonly at: Float64Array;
  /** evaluate(at). */
  readonly value: Float64Array;
  readonly lower: readonly number[];
  readonly upper: readonly number[];
  /** Length of step tried first for each parameter; changed in place to the one that proved best. */
  readonly steps: Float64Array;
}

/** Error (relative to the column) that ends the search for a step: near the best that double precision allows. */
const goodEnough = 1e-10;
const mostTries = 8;

/**
 * Partial derivatives by central differences with Richardson's extrapolation (error h^4), one-sided (h^3) where a bound
 * or an undefined value stands in the way. Each step is adapted until the extrapolation's own correction is small:
 * parameters may be of any size. A column that cannot be had is NaN.
 */
export function numericJacobian(input: JacobianInput): Float64Array[] {
  return Array.from(input.at, (_, j) => columnOf(input, j));
}

function columnOf(input: JacobianInput, j: number): Float64Array {
  const { at, lower, upper, steps } = input;
  const room = Math.max(upper[j]! - at[j]!, at[j]! - lower[j]!);
  let best: Float64Array = new Float64Array(input.value.length).fill(Number.NaN);
  let bestError = Infinity;
  let bestStep = steps[j]!;
  let step = Math.min(steps[j]!, room);
  for (let tries = 0; tries < mostTries && step > 0; tries += 1) {
    const { column, error } = difference(input, j, step);
    if (error < bestError) {
      best = column;
      bestError = error;
      bestStep = step;
    } else if (bestError < 1e-6) break;
    if (bestError < goodEnough) break;
    // Truncation falls with h^4: one tenth buys four digits, until rounding takes over.
    step = error < 1e-3 ? step * Math.max(0.05, 0.7 * (goodEnough / error) ** 0.25) : step * 0.05;
    if (step < Math.abs(at[j]!) * 1e-13) break;
  }
  // A little larger next time: the best step is found from above.
  steps[j] = bestStep * 2;
  return best;
}

function difference(input: JacobianInput, j: number, h: number): { column: Float64Array; error: number } {
  const { at, lower, upper, value } = input;
  const fitsAbove = at[j]! + h <= upper[j]!;
  const fitsBelow = at[j]! - h >= lower[j]!;
  if (fitsAbove && fitsBelow) {
    const wide = quotient(input, j, h, -h);
    const narrow = quotient(input, j, h / 2, -h / 2);
    const central = combine([narrow, wide], [4 / 3, -1 / 3]);
    const error = relativeGap(central, narrow);
    if (Number.isFinite(error)) return { column: central, error };
  }
  for (const sign of fitsAbove ? (fitsBelow ? [1, -1] : [1]) : [-1]) {
    const parts = [sign * h, (sign * h) / 2, (sign * h) / 4].map((shift) => quotient(input, j, shift, 0));
    const column = combine(parts, [1 / 3, -2, 8 / 3]);
    const error = relativeGap(column, combine(parts, [0, -1, 2]));
    if (Number.isFinite(error)) return { column, error };
  }
  return { column: value, error: Infinity };
}

/** (f(b + first) - f(b + second)) / (first - second), with the difference that was really made. */
function quotient({ evaluate, at, value }: JacobianInput, j: number, first: number, second: number): Float64Array {
  const moved = at.slice();
  moved[j] = at[j]! + first;
  const above = moved[j]!;
  const high = evaluate(moved);
  moved[j] = at[j]! + second;
  const low = second === 0 ? value : evaluate(moved);
  const width = above - moved[j]!;
  const result = new Float64Array(high.length);
  for (let i = 0; i < high.length; i += 1) result[i] = (high[i]! - low[i]!) / width;
  return result;
}

function combine(parts: readonly Float64Array[], factors: readonly number[]): Float64Array {
  const result = new Float64Array(parts[0]!.length);
  parts.forEach((part, k) => {
    for (let i = 0; i < result.length; i += 1) result[i]! += factors[k]! * part[i]!;
  });
  return result;
}

function relativeGap(a: Float64Array, b: Float64Array): number {
  let gap = 0;
  let size = 0;
  for (let i = 0; i < a.length; i += 1) {
    gap += (a[i]! - b[i]!) ** 2;
    size += a[i]! * a[i]!;
  }
  if (!Number.isFinite(gap + size)) return Number.NaN;
  return size === 0 ? 0 : Math.sqrt(gap / size);
}
