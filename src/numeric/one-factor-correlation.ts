/**
 * Loadings l with correlation[i][j] = l[i] l[j] for all i != j and |l| < 1, or `null` when there are none.
 * Comparisons of several groups with one control have this form, whatever the group sizes and variances.
 */
export function oneFactorLoadings(correlation: readonly (readonly number[])[]): readonly number[] | null {
  const k = correlation.length;
  if (k === 1) return [0];
  if (k === 2) {
    const r = correlation[0]![1]!;
    return Math.abs(r) < 1 ? [Math.sqrt(Math.abs(r)), Math.sign(r) * Math.sqrt(Math.abs(r))] : null;
  }
  const sizes = correlation.map((row, i) => loadingSize(correlation, row, i));
  const reference = sizes.reduce((best, size, i) => (size > sizes[best]! ? i : best), 0);
  const loadings = sizes.map((size, i) => (i !== reference && correlation[reference]![i]! < 0 ? -size : size));
  if (loadings.some((loading) => !(Math.abs(loading) < 1))) return null;
  for (let i = 0; i < k; i += 1) {
    for (let j = 0; j < i; j += 1) {
      if (Math.abs(correlation[i]![j]! - loadings[i]! * loadings[j]!) > 1e-9) return null;
    }
  }
  return loadings;
}

/** |l[i]| from the pair (j, m) whose own correlation is largest: l[i]^2 = r[i][j] r[i][m] / r[j][m]. */
function loadingSize(correlation: readonly (readonly number[])[], row: readonly number[], i: number): number {
  let best = 0;
  let size = 0;
  for (let j = 0; j < row.length; j += 1) {
    for (let m = 0; m < j; m += 1) {
      if (j === i || m === i) continue;
      const between = correlation[j]![m]!;
      if (Math.abs(between) > best) {
        best = Math.abs(between);
        size = Math.sqrt(Math.abs((row[j]! * row[m]!) / between));
      }
    }
  }
  return size;
}
