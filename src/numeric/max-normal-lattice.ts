import { normalCdf, normalQuantile } from './normal.ts';

/** Points of the lattice; chosen: error about 1e-3 in probability for a handful of statistics, in milliseconds a value. */
const points = 2039;

/**
 * P(max Z <= c) or P(max |Z| <= c) for normal deviates with any correlation matrix: the separation of variables of
 * A. Genz (J. Comput. Graph. Stat. 1:141, 1992) summed over a fixed Richtmyer lattice (roots of primes), so that equal
 * questions get equal answers. A matrix that is only semi-definite is allowed.
 * `scales` are equally likely factors of c (a mixture, as Student's t is of normals); [1] for plain normal deviates.
 */
export function latticeMaximumCdf(
  correlation: readonly (readonly number[])[],
  sided: 'one' | 'two',
  scales: readonly number[],
): (c: number) => number {
  const factor = cholesky(correlation);
  const k = correlation.length;
  const steps = primes(k + 1).map((prime) => Math.sqrt(prime) % 1);
  return (value) => {
    let total = 0;
    const deviates = new Float64Array(k);
    for (let point = 1; point <= points; point += 1) {
      const c = value * scales[Math.floor(((point * steps[k]!) % 1) * scales.length)]!;
      let product = 1;
      for (let i = 0; i < k && product > 0; i += 1) {
        const row = factor[i]!;
        let shift = 0;
        for (let j = 0; j < i; j += 1) shift += row[j]! * deviates[j]!;
        const scale = row[i]!;
        if (scale < 1e-9) {
          if (shift > c || (sided === 'two' && shift < -c)) product = 0;
          continue;
        }
        const upper = normalCdf((c - shift) / scale);
        const lower = sided === 'one' ? 0 : normalCdf((-c - shift) / scale);
        product *= Math.max(upper - lower, 0);
        // The tent makes the integrand periodic, which a lattice rewards.
        const tent = Math.abs(2 * ((point * steps[i]!) % 1) - 1);
        const p = lower + tent * (upper - lower);
        deviates[i] = normalQuantile(Math.min(Math.max(p, 1e-15), 1 - 1e-15));
      }
      total += product;
    }
    return total / points;
  };
}

function cholesky(matrix: readonly (readonly number[])[]): readonly Float64Array[] {
  const k = matrix.length;
  const factor = matrix.map(() => new Float64Array(k));
  for (let i = 0; i < k; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      let sum = matrix[i]![j]!;
      for (let m = 0; m < j; m += 1) sum -= factor[i]![m]! * factor[j]![m]!;
      if (i === j && sum < -1e-8) throw new RangeError('maxT: the correlation matrix is not positive semi-definite');
      if (i === j) factor[i]![i] = Math.sqrt(Math.max(sum, 0));
      else factor[i]![j] = factor[j]![j]! < 1e-9 ? 0 : sum / factor[j]![j]!;
    }
  }
  return factor;
}

function primes(count: number): readonly number[] {
  const found: number[] = [];
  for (let candidate = 2; found.length < count; candidate += 1) {
    if (found.every((prime) => candidate % prime !== 0)) found.push(candidate);
  }
  return found;
}
