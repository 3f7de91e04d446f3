import { interpolate } from '../numeric/interpolate.ts';
import type { Fit } from '../model/fit.ts';
import { nearestIndices } from './nearest-indices.ts';
import { median } from '../numeric/median.ts';
import { robustSd } from '../numeric/robust-sd.ts';
import type { UsableSeries } from './types.ts';

/**
 * Share of the frames in the window and its bounds. Chosen: wide enough to average pixel noise, narrow enough that what
 * the fitted curve leaves over is straight inside it.
 */
const windowShare = 0.05;
const fewestFrames = 9;
const mostFrames = 41;
/** Bisquare tuning, in robust standard deviations: 95 % efficiency for normal scatter (Tukey; value from memory). */
const bisquare = 4.685;
/** Autocorrelation above this is held here: the effective number of frames would otherwise fall below a few per cent. */
const strongestCorrelation = 0.9;

/** A smoothed value with its standard error from the frames around it. */
export interface LocalEstimate {
  readonly value: number;
  readonly se: number;
  readonly frames: number;
}

/**
 * Extent at `atS`: what the fitted curve leaves over (or the extent itself without a curve) is smoothed by a robust
 * straight line over the nearest frames, so that a wrong model biases it little and an outlying frame hardly at all.
 * The standard error comes from the scatter, widened for frames that resemble their neighbours, and is never less than
 * pixel noise allows. `null` without frames.
 */
export function localEstimate(usable: UsableSeries, fit: Fit | null, atS: number): LocalEstimate | null {
  const { timeS, extent, se } = usable;
  if (timeS.length === 0) return null;
  const wanted = Math.min(Math.max(Math.round(windowShare * timeS.length), fewestFrames), mostFrames);
  const nearest = nearestIndices(timeS, atS, wanted);
  const curve = fit?.curve ?? null;
  const trend = (time: number): number => (curve === null ? 0 : interpolate(curve.timeS, curve.extent, time));
  const x = nearest.map((i) => timeS[i]! - atS);
  const y = nearest.map((i) => extent[i]! - trend(timeS[i]!));
  const noise = median(nearest.map((i) => se[i]!)) ?? 0;
  const line = robustLine(x, y, noise);
  const rho = Math.min(Math.max(fit?.autocorrelation ?? 0, 0), strongestCorrelation);
  const widening = Math.sqrt((1 + rho) / (1 - rho));
  return { value: trend(atS) + line.atZero, se: line.se * widening, frames: nearest.length };
}

/** Bisquare-weighted line through (x, y), read at x = 0; a mean when x has no spread or points are few. */
function robustLine(
  x: readonly number[],
  y: readonly number[],
  noise: number,
): { readonly atZero: number; readonly se: number } {
  let weights = x.map(() => 1);
  const centre = median(y)!;
  const startSd = Math.max(robustSd(y) ?? 0, noise, 1e-9);
  weights = y.map((value) => bisquareWeight((value - centre) / startSd));
  let fitted = weightedLine(x, y, weights);
  let sd = startSd;
  for (let round = 0; round < 10; round += 1) {
    const residuals = y.map((value, i) => value - fitted.atZero - fitted.slope * x[i]!);
    sd = Math.max(robustSd(residuals) ?? 0, noise, 1e-9);
    weights = residuals.map((residual) => bisquareWeight(residual / sd));
    fitted = weightedLine(x, y, weights);
  }
  return { atZero: fitted.atZero, se: sd * Math.sqrt(fitted.leverage) };
}

function bisquareWeight(standardised: number): number {
  const u = standardised / bisquare;
  return Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
}

function weightedLine(
  x: readonly number[],
  y: readonly number[],
  given: readonly number[],
): { readonly atZero: number; readonly slope: number; readonly leverage: number } {
  const total = given.reduce((sum, weight) => sum + weight, 0);
  const weights = total > 0 ? given : x.map(() => 1);
  const sum = total > 0 ? total : x.length;
  const meanX = weights.reduce((acc, weight, i) => acc + weight * x[i]!, 0) / sum;
  const meanY = weights.reduce((acc, weight, i) => acc + weight * y[i]!, 0) / sum;
  const sxx = weights.reduce((acc, weight, i) => acc + weight * (x[i]! - meanX) ** 2, 0);
  if (x.length < 5 || !(sxx > 0)) return { atZero: meanY, slope: 0, leverage: 1 / sum };
  const sxy = weights.reduce((acc, weight, i) => acc + weight * (x[i]! - meanX) * (y[i]! - meanY), 0);
  const slope = sxy / sxx;
  return { atZero: meanY - slope * meanX, slope, leverage: 1 / sum + meanX ** 2 / sxx };
}
