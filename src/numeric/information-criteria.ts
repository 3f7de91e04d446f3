/**
 * Information criteria of a least-squares fit with normal errors; the error variance counts as a parameter.
 * AICc after C. M. Hurvich & C.-L. Tsai, Biometrika 76:297 (1989); `null` with too few points for it.
 */
export function informationCriteria(input: {
  readonly count: number;
  readonly residualSquares: number;
  /** Parameters of the curve, the error variance not among them. */
  readonly parameters: number;
}): { readonly aic: number; readonly aicc: number | null; readonly bic: number } {
  const { count: n, residualSquares, parameters } = input;
  const k = parameters + 1;
  const deviance = n * (Math.log((2 * Math.PI * residualSquares) / n) + 1);
  const spare = n - k - 1;
  return {
    aic: deviance + 2 * k,
    aicc: spare > 0 ? deviance + 2 * k + (2 * k * (k + 1)) / spare : null,
    bic: deviance + k * Math.log(n),
  };
}

/** Akaike weights: exp(-difference / 2), summing to 1 over the values that are known. */
export function akaikeWeights(values: readonly (number | null)[]): readonly (number | null)[] {
  const known = values.filter((value): value is number => value !== null);
  const least = Math.min(...known);
  const shares = values.map((value) => (value === null ? null : Math.exp((least - value) / 2)));
  const total = shares.reduce<number>((sum, share) => sum + (share ?? 0), 0);
  return shares.map((share) => (share === null ? null : share / total));
}
