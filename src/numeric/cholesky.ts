/** Lower triangle of a symmetric positive definite matrix, row by row. */
export interface Cholesky {
  readonly size: number;
  readonly lower: Float64Array;
}

/** A = L Lᵀ for a row-major symmetric matrix; `null` when it is not positive definite within rounding. */
export function cholesky(matrix: ArrayLike<number>, size: number): Cholesky | null {
  const lower = new Float64Array(size * size);
  for (let row = 0; row < size; row += 1) {
    for (let column = 0; column <= row; column += 1) {
      let sum = matrix[row * size + column]!;
      for (let k = 0; k < column; k += 1) sum -= lower[row * size + k]! * lower[column * size + k]!;
      if (row === column) {
        if (!(sum > 0)) return null;
        lower[row * size + row] = Math.sqrt(sum);
      } else {
        lower[row * size + column] = sum / lower[column * size + column]!;
      }
    }
  }
  return { size, lower };
}

/** Solves A x = b. */
export function solveCholesky(factor: Cholesky, right: ArrayLike<number>): Float64Array {
  const { size, lower } = factor;
  const forward = Float64Array.from(right);
  for (let row = 0; row < size; row += 1) {
    let sum = forward[row]!;
    for (let k = 0; k < row; k += 1) sum -= lower[row * size + k]! * forward[k]!;
    forward[row] = sum / lower[row * size + row]!;
  }
  return solveTransposed(factor, forward);
}

/**
 * Solves Lᵀ x = b. With b of independent standard normal deviates, x has covariance A⁻¹: a draw from the normal
 * distribution whose precision matrix is A.
 */
export function solveTransposed(factor: Cholesky, right: ArrayLike<number>): Float64Array {
  const { size, lower } = factor;
  const solution = Float64Array.from(right);
  for (let row = size - 1; row >= 0; row -= 1) {
    let sum = solution[row]!;
    for (let k = row + 1; k < size; k += 1) sum -= lower[k * size + row]! * solution[k]!;
    solution[row] = sum / lower[row * size + row]!;
  }
  return solution;
}
