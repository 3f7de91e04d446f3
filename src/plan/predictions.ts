import type { Bench } from './bench.ts';
import type { ErrorModel } from './half-width.ts';
import type { Outlook } from './outlook.ts';
import type { PlannedVial, Predictions } from './plan.ts';
import type { Pace } from './rates.ts';
import type { Rehearsal } from './rehearse.ts';
import type { Schedule } from './schedule.ts';

/** With one negative the analysis assumes this spread as known, so that only plain changes are called; its own constant. */
const assumedSpread = 0.05;

/** What a run of this plan will know of its errors. `null` without negatives or rehearsal. */
export function errorModelOf(
  bench: Bench,
  rehearsal: Rehearsal | null,
  margin: number,
  alpha: number,
): ErrorModel | null {
  const vialsOf = (role: string): readonly number[] =>
    bench.materials.filter((one) => one.role === role).map((one) => one.vials ?? 1);
  const m = vialsOf('negative').reduce((sum, vials) => sum + vials, 0);
  const samples = vialsOf('sample');
  if (m === 0 || rehearsal === null) return null;
  // Only groups that should stand still lend their replicates to the spread.
  const still = bench.materials.filter((one) => one.role === 'sample' && one.expect === 'resists');
  const own = m - 1 + still.reduce((sum, one) => sum + (one.vials ?? 1) - 1, 0);
  const single = m === 1;
  return {
    sd: bench.noise?.betweenVialSd ?? rehearsal.betweenVialSd,
    df: single ? Infinity : own + (bench.noise?.df ?? 0),
    knownSd: single ? Math.max(assumedSpread, rehearsal.knownSd) : rehearsal.knownSd,
    knownDf: single ? null : rehearsal.knownDf,
    pathSd: rehearsal.pathSd,
    // The sample with the fewest vials sets the promise.
    n: samples.length === 0 ? 1 : Math.min(...samples),
    m,
    samples: Math.max(1, samples.length),
    margin,
    alpha,
  };
}

export interface PredictionInput {
  readonly bench: Bench;
  readonly seed: string;
  readonly schedule: Schedule;
  readonly model: ErrorModel | null;
  readonly rehearsal: Rehearsal | null;
  readonly outlook: Outlook;
  readonly vials: readonly PlannedVial[];
  readonly paces: readonly (Pace | null)[];
  readonly margin: number;
  readonly alpha: number;
}

/** The content of plan.json. */
export function predictionsOf({
  bench,
  seed,
  schedule,
  model,
  rehearsal,
  outlook,
  vials,
  paces,
  margin,
  alpha,
}: PredictionInput): Predictions {
  return {
    schema: 'vialapse/plan@1',
    name: bench.name,
    seed,
    read_at_s: schedule.readAtS,
    margin,
    alpha,
    between_vial_sd:
      model === null || rehearsal === null
        ? null
        : {
            value: model.sd,
            df: bench.noise?.df ?? rehearsal.df,
            source: bench.noise?.source ?? `${rehearsal.runs} rehearsals in the forward model`,
          },
    path_error: model?.pathSd ?? null,
    detectable:
      outlook.detectableExtent === null
        ? null
        : {
            extent: outlook.detectableExtent,
            mol_percent: outlook.detectableMolPercent,
            impurity: bench.level.impurity,
          },
    chance_of_resisted: outlook.chanceOfResisted,
    vials: vials.map((vial) => {
      const pace = vial.role === 'positive' ? (paces[vial.material] ?? null) : null;
      return {
        region: vial.region,
        code: vial.code,
        name: vial.shown,
        role: vial.role,
        half_time_s: pace === null ? null : { low: pace.lowS, value: pace.halfTimeS, high: pace.highS },
      };
    }),
  };
}
