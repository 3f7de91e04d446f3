/** Lower triangle of a symmetric positive definite matrix, row by row. */
export interface Cholesky {
  readonly size: number;
  readonly lower: Float64Array;
}

/** A = L Lᵀ for a row-major symmetric matrix; `null` when it is not positive definite within rounding. */
export function cholesky(matrix: ArrayLike<number>, size: number): Cholesky | null {
  const lower = new Float64Array(size * size);
  for (let column = 0; column < size; column += 1) {
    const pivots = column * size;
    let pivot = matrix[pivots + column]!;
    for (let k = 0; k < column; k += 1) pivot -= lower[pivots + k]! * lower[pivots + k]!;
    if (!(pivot > 0)) return null;
    const root = Math.sqrt(pivot);
    lower[pivots + column] = root;
    // Four rows at a time: their sums do not wait for one another.
    let row = column + 1;
    for (; row + 3 < size; row += 4) {
      const first = row * size;
      const second = first + size;
      const third = second + size;
      const fourth = third + size;
      let sum1 = matrix[first + column]!;
      let sum2 = matrix[second + column]!;
      let sum3 = matrix[third + column]!;
      let sum4 = matrix[fourth + column]!;
      for (let k = 0; k < column; k += 1) {
        const factor = lower[pivots + k]!;
        sum1 -= lower[first + k]! * factor;
        sum2 -= lower[second + k]! * factor;
        sum3 -= lower[third + k]! * factor;
        sum4 -= lower[fourth + k]! * factor;
      }
      lower[first + column] = sum1 / root;
      lower[second + column] = sum2 / root;
      lower[third + column] = sum3 / root;
      lower[fourth + column] = sum4 / root;
    }
    for (; row < size; row += 1) {
      let sum = matrix[row * size + column]!;
      for (let k = 0; k < column; k += 1) sum -= lower[row * size + k]! * lower[pivots + k]!;
      lower[row * size + column] = sum / root;
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
