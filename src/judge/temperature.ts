import type { Estimate } from '../model/estimate.ts';
import { interpolate } from '../numeric/interpolate.ts';
import { normalQuantile } from '../numeric/normal.ts';
import type { TemperatureColumns } from './types.ts';

/** Gas constant, J/(mol K): exact in the SI of 2019. */
const gasConstant = 8.31446261815324;
const zeroCelsius = 273.15;

/** An activation energy with its standard uncertainty, kJ/mol. */
export interface ActivationEnergy {
  readonly kjPerMol: number;
  readonly u: number;
}

/**
 * Oxidation of alcohols by acid chromium(VI): near 40 kJ/mol (k at 35 C over k at 25 C = 1.69, Hassan et al., S. Afr. J. Chem.
 * 64:237, 2011); others quote 50-60 (from memory). Taken as anywhere from 40 to 60 alike: standard uncertainty 20 / sqrt(12).
 */
export const chromiumActivation: ActivationEnergy = { kjPerMol: 50, u: 20 / Math.sqrt(12) };

/** Temperature that rates are quoted at, degrees Celsius; chosen: the usual one of tables. */
export const referenceTemperatureC = 25;

/** What the probe showed between two run times. */
export interface TemperatureSummary {
  readonly lowestC: number;
  readonly highestC: number;
  readonly meanC: number;
}

/**
 * Mean over time (trapezoids), lowest and highest temperature from `fromRunS` to `toRunS`; the nearest reading holds where the
 * probe began later or ended earlier. `null` when it has no reading in that time.
 */
export function summariseTemperature(
  probe: TemperatureColumns,
  fromRunS: number,
  toRunS: number,
): TemperatureSummary | null {
  const { runS } = probe;
  if (runS.length === 0 || !(toRunS >= fromRunS) || runS[0]! > toRunS || runS.at(-1)! < fromRunS) return null;
  const times = [fromRunS, ...runS.filter((time) => time > fromRunS && time < toRunS), toRunS];
  const values = times.map((time) => interpolate(runS, probe.temperatureC, time));
  return { lowestC: Math.min(...values), highestC: Math.max(...values), meanC: meanOverTime(times, values) };
}

/**
 * The steady temperature at which a reaction would have come as far: the mean of its rate over the time, not of the
 * temperature, so that a warm hour counts for more. Same range and `null` as `summariseTemperature`.
 */
export function effectiveTemperature(
  probe: TemperatureColumns,
  fromRunS: number,
  toRunS: number,
  activation: ActivationEnergy = chromiumActivation,
): number | null {
  const summary = summariseTemperature(probe, fromRunS, toRunS);
  if (summary === null) return null;
  const { runS, temperatureC } = probe;
  const times = [fromRunS, ...runS.filter((time) => time > fromRunS && time < toRunS), toRunS];
  const rates = times.map(
    (time) => arrheniusFactor(summary.meanC, interpolate(runS, temperatureC, time), activation).value,
  );
  const factor = meanOverTime(times, rates);
  const inverse = (gasConstant * Math.log(factor)) / (activation.kjPerMol * 1000);
  return 1 / (1 / (summary.meanC + zeroCelsius) - inverse) - zeroCelsius;
}

function meanOverTime(times: readonly number[], values: readonly number[]): number {
  const span = times.at(-1)! - times[0]!;
  if (!(span > 0)) return values[0]!;
  let area = 0;
  for (let i = 1; i < times.length; i += 1) area += ((values[i]! + values[i - 1]!) / 2) * (times[i]! - times[i - 1]!);
  return area / span;
}

/** k(reference) / k(measured) by Arrhenius, with the standard uncertainty that comes from the activation energy alone. */
export function arrheniusFactor(
  measuredC: number,
  referenceC: number = referenceTemperatureC,
  activation: ActivationEnergy = chromiumActivation,
): { readonly value: number; readonly u: number } {
  const inverse = 1 / (measuredC + zeroCelsius) - 1 / (referenceC + zeroCelsius);
  const value = Math.exp(((activation.kjPerMol * 1000) / gasConstant) * inverse);
  return { value, u: value * Math.abs((activation.u * 1000 * inverse) / gasConstant) };
}

/**
 * A rate (or rate constant) at the reference temperature. Ratios of rates in one rack need no correction; rates of different days do.
 * The interval is symmetric in the logarithm. `null` for a rate that is not positive or has no error.
 */
export function rateAtReference(
  rate: Estimate,
  measuredC: number,
  referenceC: number = referenceTemperatureC,
  activation: ActivationEnergy = chromiumActivation,
): Estimate | null {
  if (!(rate.value > 0) || rate.se === null) return null;
  const factor = arrheniusFactor(measuredC, referenceC, activation);
  const value = rate.value * factor.value;
  const relative = Math.hypot(rate.se / rate.value, factor.u / factor.value);
  const stretch = Math.exp(normalQuantile(0.975) * relative);
  return { value, se: value * relative, ci95: [value / stretch, value * stretch] };
}
