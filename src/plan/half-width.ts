import { chiSquareQuantile } from '../numeric/chi-square.ts';
import { maxTCritical } from '../numeric/max-t.ts';
import { createRandom } from '../numeric/random.ts';
import { studentTQuantile } from '../numeric/student-t.ts';

/**
 * Half the width of a one-sided statement about a sample of n vials against m negatives, in units of the between-vial
 * spread: t(1 - alpha, df) sqrt(1/n + 1/m). For one vial against 2, 3, 4 negatives: 7.7, 3.4, 2.6.
 */
export function halfWidthInSpreads(n: number, m: number, df: number, alpha = 0.05): number {
  return studentTQuantile(1 - alpha, df) * Math.sqrt(1 / n + 1 / m);
}

/** What the numbers of a plan rest on. */
export interface ErrorModel {
  /** True between-vial standard deviation, extent. */
  readonly sd: number;
  /** Degrees of freedom by which a run will know it; Infinity: taken as known. */
  readonly df: number;
  /** Standard deviation that the analysis takes at least (what glass and frames are known to do), extent. */
  readonly floorSd: number;
  /** Error of the colour path in a difference of one margin, extent. */
  readonly pathSd: number;
  /** Sample vials and negatives. */
  readonly n: number;
  readonly m: number;
  /** Samples judged together. */
  readonly samples: number;
  readonly margin: number;
  readonly alpha: number;
}

const draws = 2000;

/** Share of runs that must succeed where a plan says "would be seen". Chosen: the usual power of a promise. */
export const promisedPower = 0.9;

/**
 * Extent above the negatives that nine runs in ten will call `reacted`: over draws of the spread as a run of few vials finds it
 * and of the errors themselves, the 0.9 quantile of margin + half-width - error.
 */
export function detectableDifference(model: ErrorModel): number {
  const critical = familyCritical(model);
  const needed = drawnRuns(model).map(
    ({ spread, error }) => model.margin + width(model, spread, critical, familyNormal(model)) - error,
  );
  return quantile(needed, promisedPower);
}

/** Chance that a sample no different from the negatives is called `resisted`. */
export function chanceOfResisted(model: ErrorModel): number {
  const single = studentTQuantile(1 - model.alpha, model.df);
  const known = studentTQuantile(1 - model.alpha, Infinity);
  const runs = drawnRuns(model);
  return (
    runs.filter(({ spread, error }) => error + width(model, spread, single, known) < model.margin).length / runs.length
  );
}

function width(model: ErrorModel, spread: number, critical: number, normal: number): number {
  const vials = Math.max(spread, model.floorSd) * Math.sqrt(1 / model.n + 1 / model.m);
  return Math.hypot(critical * vials, normal * model.pathSd);
}

function drawnRuns(model: ErrorModel): readonly { readonly spread: number; readonly error: number }[] {
  const random = createRandom('plan-half-width');
  const se = Math.hypot(model.sd * Math.sqrt(1 / model.n + 1 / model.m), model.pathSd);
  return Array.from({ length: draws }, () => {
    const share = random.uniform();
    const spread = Number.isFinite(model.df)
      ? model.sd * Math.sqrt(chiSquareQuantile(share, model.df) / model.df)
      : model.sd;
    return { spread, error: se * random.normal() };
  });
}

function correlationOf({ n, m, samples }: ErrorModel): readonly (readonly number[])[] {
  const shared = 1 / m / (1 / n + 1 / m);
  return Array.from({ length: samples }, (_, i) => Array.from({ length: samples }, (__, j) => (i === j ? 1 : shared)));
}

/** alpha over all samples of the run, which share the negatives. */
function familyCritical(model: ErrorModel): number {
  if (model.samples < 2) return studentTQuantile(1 - model.alpha, model.df);
  return maxTCritical({ correlation: correlationOf(model), df: model.df, alpha: model.alpha, sided: 'one' });
}

const familyNormal = (model: ErrorModel): number => familyCritical({ ...model, df: Infinity });

function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((first, second) => first - second);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}
