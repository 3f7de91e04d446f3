import { EigenvalueDecomposition, Matrix } from 'ml-matrix';

/**
 * Leading principal components about zero of rows of equal length, greatest first, each scaled to one standard
 * deviation: the rows are about sum z_j component_j with independent z_j of unit variance. At most `most`; stops when
 * what is left has a root mean square below `negligible` (unit of the rows). No rows, no components.
 */
export function principalComponents(
  rows: readonly ArrayLike<number>[],
  most: number,
  negligible: number,
): readonly Float64Array[] {
  const count = rows.length;
  const length = rows[0]?.length ?? 0;
  if (length === 0) return [];
  // The count x count matrix of products has the same leading values and is the smaller one.
  const products = new Matrix(count, count);
  for (let i = 0; i < count; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      let sum = 0;
      for (let k = 0; k < length; k += 1) sum += rows[i]![k]! * rows[j]![k]!;
      products.set(i, j, sum / count);
      products.set(j, i, sum / count);
    }
  }
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(products, { assumeSymmetric: true });
  let left = realEigenvalues.reduce((sum, value) => sum + Math.max(value, 0), 0);
  const order = realEigenvalues.map((_, i) => i).sort((a, b) => realEigenvalues[b]! - realEigenvalues[a]!);
  const components: Float64Array[] = [];
  for (const at of order.slice(0, most)) {
    if (Math.sqrt(left / length) < negligible || !(realEigenvalues[at]! > 0)) break;
    left -= realEigenvalues[at]!;
    const component = new Float64Array(length);
    for (let i = 0; i < count; i += 1) {
      const share = eigenvectorMatrix.get(i, at) / Math.sqrt(count);
      for (let k = 0; k < length; k += 1) component[k]! += share * rows[i]![k]!;
    }
    components.push(component);
  }
  return components;
}
