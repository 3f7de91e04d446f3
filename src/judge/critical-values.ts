import { maxTCritical } from '../numeric/max-t.ts';
import { studentTQuantile } from '../numeric/student-t.ts';

/** One-sided critical value of Student's t at `alpha`; `df` may be Infinity. */
export function singleCritical(alpha: number, df: number): number {
  return studentTQuantile(1 - alpha, wholeDf(df));
}

export interface FamilyMember {
  /** Share of the standard error common to all samples, 0..1. */
  readonly loading: number;
  /** Its variance is its own, not the pooled one: no joint distribution, so a share of alpha is set aside for it. */
  readonly ownVariance: boolean;
}

/** Critical value for each position of a family of samples and each number of degrees of freedom; worked out when asked for, and kept. */
export type FamilyCritical = (members: readonly FamilyMember[]) => (position: number, df: number) => number;

/**
 * Critical values for one-sided statements about several samples that share the negatives, so that the chance of any false one
 * stays below alpha: max-t with the correlations from the shared negatives for samples with the pooled variance, and
 * Bonferroni's share for each with a variance of its own. Correlations are rounded down (a smaller one asks for more),
 * degrees of freedom too. The error of the path counts as independent here, which also errs to the safe side.
 */
export function createFamilyCritical(alpha: number): FamilyCritical {
  const known = new Map<string, number>();
  return (members) => {
    const pooled = members.filter((member) => !member.ownVariance);
    const share = (alpha * pooled.length) / members.length;
    const loadings = pooled.map(({ loading }) => Math.min(Math.floor(loading * 10) / 10, 0.9)).sort();
    return (position, df) => {
      if (members[position]!.ownVariance) return singleCritical(alpha / members.length, df);
      const whole = wholeDf(df);
      const key = `${share} ${whole} ${loadings.join(' ')}`;
      const before = known.get(key);
      if (before !== undefined) return before;
      const correlation = loadings.map((a, i) => loadings.map((b, j) => (i === j ? 1 : a * b)));
      const value = maxTCritical({ correlation, df: whole, alpha: share, sided: 'one' });
      known.set(key, value);
      return value;
    };
  };
}

/** Rounded down, at least 1; beyond 200 the normal distribution is near enough. */
function wholeDf(df: number): number {
  return df > 200 ? Infinity : Math.max(1, Math.floor(df));
}
