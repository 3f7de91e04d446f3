/** Order statistic at share `p`; NaN of nothing. */
export { orderStatistic as quantile } from '../../src/numeric/order-statistic.ts';

/** A share, its standard error, and what it is a share of. */
export interface Share {
  readonly hits: number;
  readonly of: number;
  /** Of the ratio of sums, runs as clusters (Cochran, Sampling Techniques, ch. 2 and 9A; from memory); `null` below two runs. */
  readonly se: number | null;
}

/** Share of hits, with vials of one run not taken as independent. */
export function clusteredShare(runs: readonly (readonly boolean[])[]): Share {
  const clusters = runs
    .filter((run) => run.length > 0)
    .map((run) => ({ hits: run.filter(Boolean).length, of: run.length }));
  const hits = clusters.reduce((sum, cluster) => sum + cluster.hits, 0);
  const of = clusters.reduce((sum, cluster) => sum + cluster.of, 0);
  const count = clusters.length;
  if (count < 2) return { hits, of, se: null };
  const squares = clusters.reduce((sum, cluster) => sum + (cluster.hits - (hits / of) * cluster.of) ** 2, 0);
  return { hits, of, se: Math.sqrt((squares * count) / (count - 1)) / of };
}

/** `93.5 % ± 0.8 %`; the count behind where it is small. */
export function shareText({ hits, of, se }: Share): string {
  if (of === 0) return 'none';
  const spread = se === null ? '' : ` ± ${(100 * se).toFixed(1)}`;
  return `${((100 * hits) / of).toFixed(1)}${spread} % of ${of}`;
}
