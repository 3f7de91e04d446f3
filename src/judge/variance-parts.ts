/** A part of a variance with the degrees of freedom it is known by; Infinity: known beforehand. */
export interface VariancePart {
  readonly variance: number;
  readonly df: number;
}

/**
 * Half the width of an interval whose error has several parts: root of the sum of (critical value x standard error)^2, each part with the
 * critical value of its own degrees of freedom. Never too short, unlike Satterthwaite's approximation with one or two degrees of freedom
 * (S. K. Banerjee, Sankhya 22:351, 1960; from memory, checked by simulation in tests/judge/risks.test.ts).
 */
export function halfWidth(parts: readonly VariancePart[], critical: (df: number) => number): number {
  return Math.sqrt(
    parts.reduce((sum, { variance, df }) => sum + (variance === 0 ? 0 : critical(df) ** 2 * variance), 0),
  );
}

export function totalSe(parts: readonly VariancePart[]): number {
  return Math.sqrt(parts.reduce((sum, { variance }) => sum + variance, 0));
}
