import { chiSquareQuantile } from '../numeric/chi-square.ts';
import { fQuantile } from '../numeric/f-distribution.ts';
import { maxTCritical } from '../numeric/max-t.ts';
import { orderStatistic } from '../numeric/order-statistic.ts';
import { createRandom } from '../numeric/random.ts';
import { studentTQuantile } from '../numeric/student-t.ts';

/** What the numbers of a plan rest on. */
export interface ErrorModel {
  /** True between-vial standard deviation, extent. */
  readonly sd: number;
  /** Degrees of freedom by which a run will know it; Infinity: taken as known. */
  readonly df: number;
  /** Standard deviation that the analysis knows of glass and frames beside the replicates, extent. */
  readonly knownSd: number;
  /** Degrees of freedom by which it learns that from all vials of a run; `null`: not learnt, it is then a floor. */
  readonly knownDf: number | null;
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

/** Simulated runs. Chosen: a share of 0.9 is then known to 0.007. */
const draws = 2000;

/** Share of runs that must succeed where a plan says "would be seen". Chosen: the usual power of a promise. */
const promisedPower = 0.9;

/**
 * Extent above the negatives that nine runs in ten will call `reacted`: over draws of the spread as a run of few vials finds it
 * and of the errors themselves, the 0.9 quantile of margin + half-width - error.
 */
export function detectableDifference(model: ErrorModel): number {
  const critical = remembered((df) => familyCritical(model, df));
  const needed = drawnRuns(model).map((run) => model.margin + width(model, run, critical) - run.error);
  return orderStatistic(needed, promisedPower);
}

/** Chance that a sample no different from the negatives is called `resisted`. */
export function chanceOfResisted(model: ErrorModel): number {
  const critical = remembered((df) => studentTQuantile(1 - model.alpha, df));
  const runs = drawnRuns(model);
  return runs.filter((run) => run.error + width(model, run, critical) < model.margin).length / runs.length;
}

/** A run as it might turn out: the spread it finds, by how many degrees of freedom, and the error of one difference. */
interface DrawnRun {
  readonly spread: number;
  readonly df: number;
  readonly error: number;
}

/** Each part of the error with the critical value of its own degrees of freedom, as the analysis does. */
function width(model: ErrorModel, { spread, df }: DrawnRun, critical: (df: number) => number): number {
  const vials = spread * Math.sqrt(1 / model.n + 1 / model.m);
  return Math.hypot(critical(df) * vials, critical(Infinity) * model.pathSd);
}

function drawnRuns(model: ErrorModel): readonly DrawnRun[] {
  const random = createRandom('plan-half-width');
  const se = Math.hypot(model.sd * Math.sqrt(1 / model.n + 1 / model.m), model.pathSd);
  const found = (sd: number, df: number, share: number): number =>
    Number.isFinite(df) ? (sd ** 2 * chiSquareQuantile(share, df)) / df : sd ** 2;
  return Array.from({ length: draws }, () => {
    const replicates = found(model.sd, model.df, random.uniform());
    const known = found(model.knownSd, model.knownDf ?? Infinity, random.uniform());
    const { variance, df } = moderated(replicates, model.df, known, model.knownDf);
    return { spread: Math.sqrt(variance), df, error: se * random.normal() };
  });
}

/** Level at which replicates that scatter more than glass and frames should are believed alone; the judge's own. */
const disagreementLevel = 0.05;

/** The judge's rule: replicates and what is known of the vials pooled by their degrees of freedom, unless they disagree. */
function moderated(
  replicates: number,
  df: number,
  known: number,
  knownDf: number | null,
): { readonly variance: number; readonly df: number } {
  if (knownDf === null || !Number.isFinite(df)) return { variance: Math.max(replicates, known), df };
  if (replicates > known * fQuantile(1 - disagreementLevel, df, knownDf)) return { variance: replicates, df };
  return { variance: (replicates * df + known * knownDf) / (df + knownDf), df: df + knownDf };
}

function remembered(value: (df: number) => number): (df: number) => number {
  const known = new Map<number, number>();
  return (df) => {
    const whole = df > 200 ? Infinity : Math.max(1, Math.floor(df));
    const found = known.get(whole) ?? value(whole);
    known.set(whole, found);
    return found;
  };
}

function correlationOf({ n, m, samples }: ErrorModel): readonly (readonly number[])[] {
  const shared = 1 / m / (1 / n + 1 / m);
  return Array.from({ length: samples }, (_, i) => Array.from({ length: samples }, (__, j) => (i === j ? 1 : shared)));
}

/** alpha over all samples of the run, which share the negatives. */
function familyCritical(model: ErrorModel, df: number): number {
  if (model.samples < 2) return studentTQuantile(1 - model.alpha, df);
  return maxTCritical({ correlation: correlationOf(model), df, alpha: model.alpha, sided: 'one' });
}
