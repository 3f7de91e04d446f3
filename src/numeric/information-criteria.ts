/**
 * AICc after C. M. Hurvich & C.-L. Tsai, Biometrika 76:297 (1989), from a deviance (minus twice the log-likelihood); `null`
 * with too few values for it.
 *
 * @param parameters all that was fitted, those of the errors among them; shares of one count where a prior knows the rest
 */
export function correctedAic(deviance: number, parameters: number, count: number): number | null {
  const spare = count - parameters - 1;
  return spare > 0 ? deviance + 2 * parameters + (2 * parameters * (parameters + 1)) / spare : null;
}

/** Akaike weights: exp(-difference / 2), summing to 1 over the values that are known. */
export function akaikeWeights(values: readonly (number | null)[]): readonly (number | null)[] {
  const known = values.filter((value): value is number => value !== null);
  const least = Math.min(...known);
  const shares = values.map((value) => (value === null ? null : Math.exp((least - value) / 2)));
  const total = shares.reduce<number>((sum, share) => sum + (share ?? 0), 0);
  return shares.map((share) => (share === null ? null : share / total));
}
