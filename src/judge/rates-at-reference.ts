import type { ResultAtTemperature } from '../model/result.ts';
import { chromiumActivation, effectiveTemperature, rateAtReference, referenceTemperatureC } from './temperature.ts';
import type { JudgedVial, TemperatureColumns } from './types.ts';

/** Half-times after which a curve is as good as over (94 % of the way): later temperatures made no difference. Chosen. */
const overAfter = 4;

/**
 * Rates of one vial at the reference temperature, from what the probe showed while the vial reacted: from its dosing to four
 * half-times, or to its last frame where no half-time was passed. `null` without a probe, without readings in that time, or
 * without a rate.
 */
export function ratesAtReference(
  probe: TemperatureColumns | null,
  { fit, usable, series }: Pick<JudgedVial, 'fit' | 'usable' | 'series'>,
): ResultAtTemperature | null {
  const lastS = usable.timeS.at(-1);
  if (probe === null || lastS === undefined) return null;
  const half = fit.halfTimeS;
  const overS = half !== null && half.censored === 'none' ? Math.min(overAfter * half.value, lastS) : lastS;
  const measuredC = effectiveTemperature(probe, series.addedRunS, series.addedRunS + overS);
  if (measuredC === null) return null;
  const constant = fit.rateConstant === null ? null : rateAtReference(fit.rateConstant, measuredC);
  const initial = fit.initialRate === null ? null : rateAtReference(fit.initialRate, measuredC);
  if (constant === null && initial === null) return null;
  return {
    reference_c: referenceTemperatureC,
    measured_c: measuredC,
    activation_energy_kj_mol: { value: chromiumActivation.kjPerMol, u: chromiumActivation.u },
    rate_constant: constant === null ? null : { ...constant, unit: fit.rateConstant!.unit },
    initial_rate: initial,
  };
}
