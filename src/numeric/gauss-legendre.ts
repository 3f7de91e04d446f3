/**
 * Nodes and weights of n-point Gauss-Legendre quadrature on [lower, upper]: zeros of the Legendre polynomial by
 * Newton's method from Tricomi's start. Exact for polynomials up to degree 2n - 1.
 */
export function gaussLegendre(
  n: number,
  lower: number,
  upper: number,
): { readonly nodes: Float64Array; readonly weights: Float64Array } {
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  const middle = (upper + lower) / 2;
  const half = (upper - lower) / 2;
  for (let i = 0; i < (n + 1) >> 1; i += 1) {
    let z = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 0;
    for (let round = 0; round < 20; round += 1) {
      let current = 1;
      let previous = 0;
      for (let k = 1; k <= n; k += 1) {
        const older = previous;
        previous = current;
        current = ((2 * k - 1) * z * previous - (k - 1) * older) / k;
      }
      slope = (n * (z * current - previous)) / (z * z - 1);
      const step = current / slope;
      z -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    const weight = (2 * half) / ((1 - z * z) * slope * slope);
    nodes[i] = middle - half * z;
    nodes[n - 1 - i] = middle + half * z;
    weights[i] = weight;
    weights[n - 1 - i] = weight;
  }
  return { nodes, weights };
}
