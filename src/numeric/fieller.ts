/** Two estimates whose ratio is wanted, with their error (co)variances, and the critical value (t or normal). */
export interface FiellerInput {
  readonly numerator: number;
  readonly denominator: number;
  readonly numeratorVariance: number;
  readonly denominatorVariance: number;
  readonly covariance: number;
  readonly criticalValue: number;
}

/**
 * The set of ratios not rejected. `bounded`: lower..upper. `unbounded-complement`: everything up to `below` and from
 * `above` on (`null`: that arm is missing). `whole-line`: no ratio can be excluded.
 * `g` > 1 means that the denominator does not differ from zero; then no finite interval exists.
 */
export type FiellerInterval =
  | {
      readonly kind: 'bounded';
      readonly ratio: number;
      readonly g: number;
      readonly lower: number;
      readonly upper: number;
    }
  | {
      readonly kind: 'unbounded-complement';
      readonly ratio: number | null;
      readonly g: number;
      readonly below: number | null;
      readonly above: number | null;
    }
  | { readonly kind: 'whole-line'; readonly ratio: number | null; readonly g: number };

/**
 * Fieller's confidence set of a ratio of means (E. C. Fieller, J. R. Stat. Soc. B 16:175, 1954):
 * all r with (numerator - r denominator)^2 <= c^2 (Vnn - 2 r Vnd + r^2 Vdd).
 * Throws RangeError for non-finite input or negative variances (programmer's misuse; data never throw).
 */
export function fiellerInterval(input: FiellerInput): FiellerInterval {
  const { numerator, denominator, numeratorVariance, denominatorVariance, covariance, criticalValue } = input;
  const all = [numerator, denominator, numeratorVariance, denominatorVariance, covariance, criticalValue];
  if (!all.every(Number.isFinite) || numeratorVariance < 0 || denominatorVariance < 0) {
    throw new RangeError('fiellerInterval: values must be finite and variances not negative');
  }
  const square = criticalValue * criticalValue;
  const g = denominator === 0 ? Infinity : (square * denominatorVariance) / (denominator * denominator);
  const ratio = denominator === 0 ? null : numerator / denominator;
  // a r^2 - 2 b r + c <= 0
  const a = denominator * denominator - square * denominatorVariance;
  const b = numerator * denominator - square * covariance;
  const c = numerator * numerator - square * numeratorVariance;
  if (a === 0) {
    if (b === 0) return { kind: 'whole-line', ratio, g };
    const edge = c / (2 * b);
    return b > 0
      ? { kind: 'unbounded-complement', ratio, g, below: null, above: edge }
      : { kind: 'unbounded-complement', ratio, g, below: edge, above: null };
  }
  const discriminant = b * b - a * c;
  if (a > 0 && ratio !== null) {
    const root = Math.sqrt(Math.max(discriminant, 0));
    return { kind: 'bounded', ratio, g, lower: (b - root) / a, upper: (b + root) / a };
  }
  if (discriminant <= 0) return { kind: 'whole-line', ratio, g };
  const root = Math.sqrt(discriminant);
  return { kind: 'unbounded-complement', ratio, g, below: (b + root) / a, above: (b - root) / a };
}
