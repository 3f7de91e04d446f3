/**
 * Solves (A + damping diag A) x = g for a symmetric positive semi-definite A (p x p, row major) by Cholesky, leaving
 * out (x = 0) the entries marked in `out` and those without information.
 */
export function solvePositive(
  matrix: Float64Array,
  right: Float64Array,
  damping: number,
  out: ArrayLike<number | boolean>,
): Float64Array {
  const p = right.length;
  const solution = new Float64Array(p);
  const kept: number[] = [];
  for (let j = 0; j < p; j += 1) if (!out[j] && matrix[j * p + j]! > 0) kept.push(j);
  const q = kept.length;
  const factor = new Float64Array(q * q);
  const work = new Float64Array(q);
  for (let i = 0; i < q; i += 1) {
    const row = kept[i]! * p;
    for (let j = 0; j <= i; j += 1) {
      let sum = matrix[row + kept[j]!]! * (i === j ? 1 + damping : 1);
      for (let k = 0; k < j; k += 1) sum -= factor[i * q + k]! * factor[j * q + k]!;
      if (i === j) {
        const least = 1e-13 * matrix[row + kept[i]!]!;
        factor[i * q + i] = Math.sqrt(Math.max(sum, least));
      } else factor[i * q + j] = sum / factor[j * q + j]!;
    }
    let sum = right[kept[i]!]!;
    for (let k = 0; k < i; k += 1) sum -= factor[i * q + k]! * work[k]!;
    work[i] = sum / factor[i * q + i]!;
  }
  for (let i = q - 1; i >= 0; i -= 1) {
    let sum = work[i]!;
    for (let k = i + 1; k < q; k += 1) sum -= factor[k * q + i]! * solution[kept[k]!]!;
    solution[kept[i]!] = sum / factor[i * q + i]!;
  }
  return solution;
}

/** Inverse of the matrix over the entries not marked; rows and columns of the others are zero. */
export function invertPositive(matrix: Float64Array, p: number, out: ArrayLike<number | boolean>): Float64Array {
  const inverse = new Float64Array(p * p);
  const unit = new Float64Array(p);
  for (let j = 0; j < p; j += 1) {
    if (out[j]) continue;
    unit.fill(0);
    unit[j] = 1;
    const column = solvePositive(matrix, unit, 0, out);
    for (let i = 0; i < p; i += 1) inverse[i * p + j] = column[i]!;
  }
  return inverse;
}
