import type { Estimate } from '../model/estimate.ts';
import type { Fit } from '../model/fit.ts';
import { akaikeWeights } from '../numeric/information-criteria.ts';
import { studentTQuantile } from '../numeric/student-t.ts';
import { curveParts } from './averaged-curve.ts';
import { average } from './averages.ts';
import type { WeightedFit } from './averages.ts';
import { chooseModel, isRedundant } from './choose-model.ts';
import { constantEstimate, intervalBasis } from './constants.ts';
import { effectiveCount } from './effective-count.ts';
import { noiseGrid } from './estimate-noise.ts';
import { isRising, leftByLight } from './evidence.ts';
import { fitCandidate } from './fit-candidate.ts';
import type { CandidateFit } from './fit-candidate.ts';
import { halfTime, riseAt } from './half-time.ts';
import type { KineticOptions, KineticSeries } from './kinetic-series.ts';
import { allModels } from './models/all-models.ts';
import { onset } from './onset.ts';
import { halfTimeShifts, relativeShifts, withError, withPathAllowance } from './path-allowance.ts';
import { pathBends } from './path-bends.ts';
import { prepareSeries } from './prepare-series.ts';
import type { PreparedSeries } from './prepare-series.ts';
import { atReadingTime, type SeriesFit } from './series-fit.ts';
import { stillRate } from './still-rate.ts';

/** Error of a vial's constant offset when nothing is known of it; chosen: glass and position leave about 0.01. */
const defaultOffsetSe = 0.01;
/** Models of less weight than this are left out of averages. */
const leastWeight = 0.02;

/**
 * Fits every model to one extent series and says how it moves. Never throws for data: too little of it gives
 * `model: null` with the reason. Throws RangeError when the arrays differ in length or falseAlarm is outside 0..1.
 */
export function fitKinetics(series: KineticSeries, options: KineticOptions): Fit {
  return atReadingTime(fitSeries(series, options), options.pathDraws, options.readAtS);
}

/** {@link fitKinetics} up to where the reading time comes in. */
export function fitSeries(series: KineticSeries, options: Omit<KineticOptions, 'readAtS'>): SeriesFit {
  if (!(options.falseAlarm > 0 && options.falseAlarm < 1)) {
    throw new RangeError(`fitKinetics: false-alarm rate ${options.falseAlarm} is not inside 0..1`);
  }
  const prepared = prepareSeries(series);
  if (typeof prepared === 'string') return unfitted(prepared);
  const grid = noiseGrid(prepared);
  const bends = pathBends(options.pathDraws);
  const offsetSe = Math.hypot(options.offsetSe ?? defaultOffsetSe, bends?.startSd ?? 0);
  const candidates = allModels.map((model) => fitCandidate(model, prepared, grid, offsetSe, bends));
  const rising = isRising(candidates, prepared, options);
  const eligible = candidates.map(
    (candidate) => (candidate.model.name !== 'none') === rising && !isRedundant(candidate, candidates),
  );
  const weights = akaikeWeights(candidates.map(({ aicc }, i) => (eligible[i] ? aicc : null)));
  const chosen = chooseModel(candidates, weights, leftByLight(options));
  if (chosen === null) return unfitted(`${prepared.time.length} readable frames are too few for any moving model`);
  const t = studentTQuantile(0.975, degreesOfFreedom(prepared, chosen));
  const averaged: readonly WeightedFit[] = candidates.flatMap((candidate, i) => {
    const weight = weights[i] ?? 0;
    if (weight < leastWeight && candidate !== chosen) return [];
    return [{ weight, basis: intervalBasis(candidate, t) }];
  });
  return describe(prepared, candidates, weights, chosen, averaged, t, options);
}

function describe(
  prepared: PreparedSeries,
  candidates: readonly CandidateFit[],
  weights: readonly (number | null)[],
  chosen: CandidateFit,
  averaged: readonly WeightedFit[],
  t: number,
  options: Omit<KineticOptions, 'readAtS'>,
): SeriesFit {
  const { model, target } = chosen;
  const { spanS } = prepared;
  const basis = averaged.find((fit) => fit.basis.candidate === chosen)!.basis;
  const still = model.name === 'none';
  const { tau, whiteShare } = target.filter.shape;
  const never = { value: spanS, se: null, ci95: [spanS, null], censored: 'right' } as const;
  // a burst's own extent sets where on the path its rate is read
  const amplitude = model.amplitude === null ? 1 : constantEstimate(basis, model.amplitude, (value) => value).value;
  const half = still ? never : halfTime(averaged, prepared, t);
  const { pathDraws } = options;
  const pathRelative =
    pathDraws === null
      ? null
      : {
          rate: relativeShifts(pathDraws, model.name === 'zero-order' ? 0 : amplitude, model.induction !== null),
          halfTime: halfTimeShifts(pathDraws, half.censored === 'none' ? riseAt(averaged, half.value / spanS) : null),
        };
  // a straight rise is what a slow error of light at both ends would make
  const lightRate = still || model.name === 'zero-order' ? (Math.SQRT2 * (options.lightSe ?? 0)) / spanS : 0;
  const allowing = <T extends Estimate>(rate: T): T =>
    withError(withPathAllowance(rate, still ? null : (pathRelative?.rate ?? null)), lightRate);
  const initial = still ? stillRate(candidates, spanS, t) : initialRate(averaged, spanS, t);
  const start = still ? null : onset(basis, prepared, options);
  const background = average([{ basis, weight: 1 }], (_, b) => model.backgroundRate(b));
  const fit: Fit = {
    model: model.name,
    reason: still
      ? 'no change beyond chance (at the stated false-alarm rate) or beyond what the correction of light may have left'
      : null,
    rateConstant:
      model.rate === null
        ? null
        : {
            ...allowing(
              constantEstimate(basis, model.rate.index, (value) =>
                model.rate!.logarithmic ? Math.exp(value) / spanS : value / spanS,
              ),
            ),
            unit: model.rate.unit,
          },
    amplitude: model.amplitude === null ? null : constantEstimate(basis, model.amplitude, (value) => value),
    inductionS: model.induction === null ? null : constantEstimate(basis, model.induction, (value) => value * spanS),
    backgroundRate: background === null ? null : positiveEstimate(background.value / spanS, background.se / spanS, t),
    initialRate: initial === null ? null : allowing(initial),
    halfTimeS: withPathAllowance(half, pathRelative?.halfTime ?? null),
    onsetS: start?.time ?? never,
    pathRelative,
    residualSd: Math.sqrt(target.variance),
    autocorrelation: tau === 0 ? 0 : (1 - whiteShare) * Math.exp(-prepared.gap / tau),
    aicc: chosen.aicc,
    candidates: candidates.map((candidate, i) => ({
      model: candidate.model.name,
      aicc: candidate.aicc,
      weight: candidate.aicc === null ? null : (weights[i] ?? 0),
    })),
    outliers: prepared.outliers,
    curve: null,
  };
  return { fit, curve: curveParts(averaged, spanS, t), detected: start?.detected ?? null };
}

/** Independent values left after the parameters, at least 2. */
function degreesOfFreedom(prepared: PreparedSeries, { target, fit }: CandidateFit): number {
  return Math.max(effectiveCount(prepared, target.filter) - fit.b.length, 2);
}

function initialRate(averaged: readonly WeightedFit[], spanS: number, t: number): Estimate | null {
  const found = average(averaged, ({ basis }, b) => basis.candidate.model.initialRate(b), undeterminedFactor);
  return found === null ? null : positiveEstimate(found.value / spanS, found.se / spanS, t);
}

/** A positive quantity is not determined when its standard error exceeds it. Chosen. */
const undeterminedFactor = (value: number, se: number): boolean => !(se <= Math.abs(value));
/** Beyond a factor of e^3 an upper bound says nothing and is left open, as for half-times. Chosen. */
const unboundedReach = 3;

/** Interval of a quantity that cannot be negative: symmetric in the logarithm, as wide as the linear one at 1 se. */
function positiveEstimate(value: number, se: number, t: number): Estimate {
  if (!(value > 0)) return { value, se, ci95: [0, t * se] };
  const reach = (t * se) / value;
  const factor = Math.exp(reach);
  return { value, se, ci95: [value / factor, reach > unboundedReach ? null : value * factor] };
}

function unfitted(reason: string): SeriesFit {
  const fit: Fit = {
    model: null,
    reason,
    rateConstant: null,
    amplitude: null,
    inductionS: null,
    backgroundRate: null,
    initialRate: null,
    halfTimeS: null,
    onsetS: null,
    pathRelative: null,
    residualSd: null,
    autocorrelation: null,
    aicc: null,
    candidates: [],
    outliers: [],
    curve: null,
  };
  return { fit, curve: null, detected: null };
}
