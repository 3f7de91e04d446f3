import { chiSquareQuantile } from './chi-square.ts';
import { gaussLegendre } from './gauss-legendre.ts';
import { invertMonotone } from './invert-monotone.ts';
import { logGamma } from './log-gamma.ts';
import { latticeMaximumCdf } from './max-normal-lattice.ts';
import { normalCdf } from './normal.ts';
import { oneFactorLoadings } from './one-factor-correlation.ts';
import { studentTQuantile } from './student-t.ts';

export type Sided = 'one' | 'two';

/** Several t statistics with one variance estimate. */
export interface MaxTInput {
  /** Correlation matrix of the statistics, k x k, ones on its diagonal. */
  readonly correlation: readonly (readonly number[])[];
  /** Degrees of freedom of the common variance; Infinity: known. */
  readonly df: number;
  readonly sided: Sided;
}

/**
 * Critical value c with P(max T > c) = alpha (`one`) or P(max |T| > c) = alpha (`two`) for k correlated Student
 * statistics: Dunnett's for his correlations (C. W. Dunnett, J. Am. Stat. Assoc. 50:1096, 1955).
 * Correlations of one-factor form by deterministic quadrature (about 1e-8), any other by a fixed lattice (about 1e-3).
 * Throws RangeError for a matrix that is not a correlation matrix, df <= 0 or alpha outside (0, 1).
 */
export function maxTCritical(input: MaxTInput & { readonly alpha: number }): number {
  const { df, alpha, sided, correlation } = input;
  if (!(alpha > 0 && alpha < 1)) throw new RangeError(`maxTCritical: alpha ${alpha} is not inside 0..1`);
  const cdf = maxTDistribution(input);
  const share = sided === 'two' ? alpha / 2 : alpha;
  // A single statistic is the least, Bonferroni's bound the most it can be.
  const least = studentTQuantile(1 - share, df);
  const most = studentTQuantile(1 - share / correlation.length, df);
  return correlation.length === 1 ? least : invertMonotone((c) => cdf(c) - (1 - alpha), least, most + 1e-9, 1e-9);
}

/** P(max T <= c), or P(max |T| <= c), as a function of c. Errors as {@link maxTCritical}. */
export function maxTDistribution({ correlation, df, sided }: MaxTInput): (c: number) => number {
  checkCorrelation(correlation);
  if (!(df > 0)) throw new RangeError(`maxT: df ${df} is not positive`);
  const loadings = oneFactorLoadings(correlation);
  if (loadings === null) return latticeMaximumCdf(correlation, sided, scaleStrata(df));
  const given = oneFactorMaximumCdf(loadings, sided);
  if (df === Infinity) return given;
  // Mixture over s, the estimated over the true standard deviation: df s^2 is chi-square.
  const from = Math.sqrt(chiSquareQuantile(1e-13, df) / df);
  const to = Math.sqrt(chiSquareQuantile(1 - 1e-13, df) / df);
  const { nodes, weights } = gaussLegendre(32, from, to);
  const constant = Math.log(2) + (df / 2) * Math.log(df / 2) - logGamma(df / 2);
  const masses = nodes.map((s, i) => weights[i]! * Math.exp(constant + (df - 1) * Math.log(s) - (df * s * s) / 2));
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  return (c) => nodes.reduce((sum, s, i) => sum + (masses[i]! / total) * given(c * s), 0);
}

/** Equally likely values of the estimated over the true standard deviation. */
function scaleStrata(df: number): readonly number[] {
  if (df === Infinity) return [1];
  const strata = 128;
  return Array.from({ length: strata }, (_, i) => Math.sqrt(chiSquareQuantile((i + 0.5) / strata, df) / df));
}

/** Given the common factor z, statistics of one-factor form are independent: integrate over z. */
function oneFactorMaximumCdf(loadings: readonly number[], sided: Sided): (c: number) => number {
  const groups = new Map<number, number>();
  for (const loading of loadings) groups.set(loading, (groups.get(loading) ?? 0) + 1);
  // A loading near 1 turns the integrand into a step of width sqrt(1 - l^2): more nodes (measured: 1e-8 to l^2 = 0.99).
  const width = Math.sqrt(1 - Math.max(...loadings.map(Math.abs)) ** 2);
  const { nodes, weights } = gaussLegendre(Math.min(Math.max(64, Math.ceil(45 / width)), 600), -8.5, 8.5);
  const masses = nodes.map((z, i) => (weights[i]! * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI));
  const factors = [...groups].map(([loading, count]) => ({
    ...{ loading, count, scale: 1 / Math.sqrt(1 - loading * loading) },
  }));
  return (c) => {
    let sum = 0;
    for (let i = 0; i < nodes.length; i += 1) {
      let product = masses[i]!;
      for (const { loading, count, scale } of factors) {
        const shift = loading * nodes[i]!;
        const upper = normalCdf((c - shift) * scale);
        const inside = sided === 'one' ? upper : upper - normalCdf((-c - shift) * scale);
        product *= count === 1 ? inside : inside ** count;
        if (product < 1e-18) break;
      }
      sum += product;
    }
    return sum;
  };
}

function checkCorrelation(correlation: readonly (readonly number[])[]): void {
  const k = correlation.length;
  if (k === 0) throw new RangeError('maxT: empty correlation matrix');
  correlation.forEach((row, i) => {
    if (row.length !== k)
      throw new RangeError(`maxT: row ${i} of the correlation matrix has ${row.length} of ${k} entries`);
    row.forEach((r, j) => {
      const fine = i === j ? Math.abs(r - 1) < 1e-12 : Math.abs(r) <= 1 && Math.abs(r - correlation[j]![i]!) < 1e-12;
      if (!fine) throw new RangeError(`maxT: entry ${i},${j} (${r}) cannot be of a correlation matrix`);
    });
  });
}
