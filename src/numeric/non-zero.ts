/** A denominator of Lentz's method: 1e-300 in place of what would divide by zero (chosen: far below any term that counts). */
export function nonZero(value: number): number {
  return Math.abs(value) < 1e-300 ? 1e-300 : value;
}
