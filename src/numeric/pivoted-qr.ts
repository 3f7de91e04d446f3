/**
 * QR factorisation with column pivoting by Householder reflections, reduced to what least squares needs:
 * the triangle R (n x n, row major, rows beyond m zero), the order of the columns, and Q' applied to the right side.
 */
export interface PivotedQr {
  readonly n: number;
  readonly r: Float64Array;
  /** Column `order[k]` of the matrix is column k of R. */
  readonly order: readonly number[];
  /** First n entries of Q' rhs. */
  readonly projected: Float64Array;
}

/**
 * Factors a matrix given as columns of equal length m (m >= 1) with right side `rhs` of that length. Neither argument
 * is changed.
 */
export function pivotedQr(columns: readonly Float64Array[], rhs: Float64Array): PivotedQr {
  const n = columns.length;
  const m = rhs.length;
  const work = columns.map((column) => column.slice());
  const right = rhs.slice();
  const order = columns.map((_, j) => j);
  const r = new Float64Array(n * n);
  const steps = Math.min(m, n);
  for (let k = 0; k < steps; k += 1) {
    pivot(work, order, r, n, k);
    const column = work[k]!;
    const norm = tailNorm(column, k);
    if (norm > 0) {
      const alpha = column[k]! > 0 ? -norm : norm;
      // Reflector v = column - alpha e_k, scaled by 2 / v'v = 1 / (alpha^2 - alpha column_k).
      const factor = 1 / (alpha * (alpha - column[k]!));
      column[k]! -= alpha;
      for (let j = k + 1; j < n; j += 1) reflect(column, work[j]!, k, factor);
      reflect(column, right, k, factor);
      r[k * n + k] = alpha;
    }
    for (let j = k + 1; j < n; j += 1) r[k * n + j] = work[j]![k]!;
  }
  const projected = new Float64Array(n);
  projected.set(right.subarray(0, steps));
  return { n, r, order, projected };
}

/** Brings the column with the longest remainder to place k. */
function pivot(work: Float64Array[], order: number[], r: Float64Array, n: number, k: number): void {
  let best = k;
  let longest = -1;
  for (let j = k; j < work.length; j += 1) {
    const length = tailNorm(work[j]!, k);
    if (length > longest) {
      longest = length;
      best = j;
    }
  }
  if (best === k) return;
  [work[k], work[best]] = [work[best]!, work[k]!];
  [order[k], order[best]] = [order[best]!, order[k]!];
  for (let i = 0; i < k; i += 1) {
    const kept = r[i * n + k]!;
    r[i * n + k] = r[i * n + best]!;
    r[i * n + best] = kept;
  }
}

function tailNorm(column: Float64Array, from: number): number {
  let sum = 0;
  for (let i = from; i < column.length; i += 1) sum += column[i]! * column[i]!;
  if (sum > 1e-280 && sum < 1e280) return Math.sqrt(sum);
  let largest = 0;
  for (let i = from; i < column.length; i += 1) largest = Math.max(largest, Math.abs(column[i]!));
  if (largest === 0 || !Number.isFinite(largest)) return largest;
  sum = 0;
  for (let i = from; i < column.length; i += 1) sum += (column[i]! / largest) ** 2;
  return largest * Math.sqrt(sum);
}

function reflect(v: Float64Array, target: Float64Array, from: number, factor: number): void {
  let dot = 0;
  for (let i = from; i < v.length; i += 1) dot += v[i]! * target[i]!;
  dot *= factor;
  for (let i = from; i < v.length; i += 1) target[i]! -= dot * v[i]!;
}

/** Number of leading diagonal entries of R above `tolerance` times the first. */
export function numericalRank({ n, r }: PivotedQr, tolerance: number): number {
  const first = Math.abs(r[0] ?? 0);
  let rank = 0;
  while (rank < n && Math.abs(r[rank * n + rank]!) > tolerance * first) rank += 1;
  return rank;
}

/** Least-squares solution in the original order of columns; columns beyond the rank get zero. */
export function solveQr(qr: PivotedQr, tolerance = 1e-14): Float64Array {
  const { n, r, order, projected } = qr;
  const rank = numericalRank(qr, tolerance);
  const solution = new Float64Array(n);
  for (let i = rank - 1; i >= 0; i -= 1) {
    let sum = projected[i]!;
    for (let j = i + 1; j < rank; j += 1) sum -= r[i * n + j]! * solution[order[j]!]!;
    solution[order[i]!] = sum / r[i * n + i]!;
  }
  return solution;
}

/** (A'A)^-1 in the original order, for a matrix of full rank. */
export function inverseNormalMatrix({ n, r, order }: PivotedQr): number[][] {
  // Rows of R^-1, then R^-1 R^-T.
  const inverse = new Float64Array(n * n);
  for (let column = 0; column < n; column += 1) {
    for (let i = column; i >= 0; i -= 1) {
      let sum = i === column ? 1 : 0;
      for (let j = i + 1; j <= column; j += 1) sum -= r[i * n + j]! * inverse[j * n + column]!;
      inverse[i * n + column] = sum / r[i * n + i]!;
    }
  }
  const result = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let i = 0; i < n; i += 1) {
    for (let j = 0; j < n; j += 1) {
      let sum = 0;
      for (let k = Math.max(i, j); k < n; k += 1) sum += inverse[i * n + k]! * inverse[j * n + k]!;
      result[order[i]!]![order[j]!] = sum;
    }
  }
  return result;
}
