import { controlsFailed } from '../../src/judge/controls.ts';
import type { Analysis } from '../../src/model/analysis.ts';
import type { ResultVial } from '../../src/model/result.ts';
import { readAtS, type RackKind } from './racks.ts';
import { scoreClaims, type ClaimScore } from './score-claims.ts';
import { constantOf, holds, timeOfExtent, trueExtent, type TrueVial } from './true-course.ts';

export interface RunFacts {
  /** `edge`: curve level too, racks at the margin. */
  readonly level: 'curve' | 'image' | 'edge';
  readonly index: number;
  readonly rack: RackKind;
  /** `film`: 1280 x 720; `small film` and `stills`: 640 x 360. */
  readonly source: 'second physics' | 'forward model' | 'film' | 'small film' | 'stills';
}

/** One run against its truth; one line of the work file. */
export interface RunScore extends RunFacts {
  /** Absolute error of extent over all vials and frames. */
  readonly medianError: number;
  readonly worstError: number;
  /** Tenths of true extent: frames in each, and the sums of error and squared error. */
  readonly tenths: readonly { readonly count: number; readonly sum: number; readonly squares: number }[];
  /** Share of vial frames without an extent. */
  readonly unread: number;
  /** Vials that are first order to completion, and those of them so named. */
  readonly firstOrder: number;
  /** Relative error of their constants, of those so named. */
  readonly rates: readonly { readonly error: number; readonly covered: boolean }[];
  readonly halfTimes: readonly { readonly error: number | null; readonly covered: boolean }[];
  /** Whether 95 % intervals hold the extent at the reading time: all vials but mixtures. */
  readonly readings: readonly { readonly true: number; readonly error: number; readonly covered: boolean }[];
  readonly samples: readonly {
    readonly label: string;
    /** At the reading time, above the mean of the negatives. */
    readonly difference: number;
    readonly outcome: 'reacted' | 'resisted' | 'undecided';
    readonly reason: string;
  }[];
  readonly claims: ClaimScore;
  readonly controlsFailed: boolean;
  readonly failedChecks: readonly string[];
}

const labels = ['clean', 'trace', 'dirty', 'wrong', 'delayed', 'inert'] as const;

/** Compares an analysis with its truth; `truth` is in the order of the run's vials. */
export function scoreOf(facts: RunFacts, analysis: Analysis, truth: readonly TrueVial[]): RunScore {
  const { run, series, result } = analysis;
  const extentOf = (vial: number, timeS: number): number => trueExtent(truth[vial]!, timeS);
  const frames = series.flatMap(({ extent, timeS }, vial) =>
    timeS.flatMap((time, frame) => (time < 0 ? [] : [{ read: extent[frame]!, at: extentOf(vial, time) }])),
  );
  const errors = frames.flatMap(({ read, at }) => (read === null ? [] : [{ error: read - at, at }]));
  const sizes = errors.map(({ error }) => Math.abs(error)).sort((first, second) => first - second);
  const tenths = Array.from({ length: 10 }, (_, tenth) => {
    const within = errors.filter(({ at }) => Math.min(9, Math.floor(10 * at)) === tenth).map(({ error }) => error);
    return {
      count: within.length,
      sum: within.reduce((sum, error) => sum + error, 0),
      squares: within.reduce((sum, error) => sum + error * error, 0),
    };
  });
  const index = (role: string): readonly number[] => run.vials.flatMap((vial, at) => (vial.role === role ? [at] : []));
  const negatives = index('negative').map((vial) => extentOf(vial, readAtS));
  const yardstick = negatives.reduce((sum, value) => sum + value, 0) / negatives.length;
  const samples = index('sample');
  const firstOrder = truth.flatMap((one, vial) =>
    one.kinetics.model === 'first-order' ? [{ vial, rate: constantOf(one)! }] : [],
  );
  return {
    ...facts,
    medianError: sizes[sizes.length >> 1] ?? NaN,
    worstError: sizes[sizes.length - 1] ?? NaN,
    tenths,
    unread: 1 - errors.length / frames.length,
    firstOrder: firstOrder.length,
    rates: firstOrder.flatMap(({ vial, rate }) => {
      const { model, rate_constant: found } = result.vials[vial]!.fit;
      if (model !== 'first-order' || found === null) return [];
      return [{ error: found.value / rate - 1, covered: holds(found.ci95, rate) }];
    }),
    halfTimes: truth.flatMap((one, vial) => scoreHalfTime(result.vials[vial]!, one, lastTimeS(series[vial]!.timeS))),
    readings: result.vials.flatMap(({ role, extent }, vial) => {
      if (role === 'mixture' || extent.at_read === null) return [];
      const at = extentOf(vial, readAtS);
      return [{ true: at, error: extent.at_read.value - at, covered: holds(extent.at_read.ci95, at) }];
    }),
    samples: result.samples.map(({ regions, outcome, reason }) => {
      const vial = run.vials.findIndex(({ region }) => region === regions[0]);
      return {
        label: labels[samples.indexOf(vial)]!,
        difference: extentOf(vial, readAtS) - yardstick,
        outcome,
        reason,
      };
    }),
    claims: scoreClaims(facts.rack, analysis, truth),
    controlsFailed: controlsFailed(result),
    failedChecks: result.checks.filter(({ status }) => status === 'fail').map(({ code }) => code),
  };
}

/** Half-times of vials that truly reach 0.5 within the run and were not in doubt; none for the others. */
function scoreHalfTime(
  { fit }: ResultVial,
  vial: TrueVial,
  lastS: number,
): readonly { error: number | null; covered: boolean }[] {
  const found = fit.half_time_s;
  const at = timeOfExtent(vial, 0.5, lastS);
  if (found === null || at === null || trueExtent(vial, 0) > 0) return [];
  if (found.censored === 'right') return [{ error: null, covered: at >= found.value }];
  if (found.censored === 'left') return [{ error: null, covered: at <= found.value }];
  return [{ error: found.value / at - 1, covered: holds(found.ci95, at) }];
}

const lastTimeS = (timeS: readonly number[]): number => timeS[timeS.length - 1]!;
