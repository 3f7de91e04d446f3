import { forbidsRate } from './judge/vial-flags.ts';
import type { JudgeOutput } from './judge/types.ts';
import type { ExtentSeries } from './model/extent.ts';
import type { Fit } from './model/fit.ts';
import type { ResultVial } from './model/result.ts';
import type { Vial } from './model/run.ts';

/** Lays out one vial of result.json; `index` is its place in the run file. Where its flags forbid a rate, none is handed on. */
export function assembleVial(
  vial: Vial,
  series: ExtentSeries,
  fit: Fit,
  judged: Pick<JudgeOutput, 'atRead' | 'last' | 'vialFlags' | 'atReferenceTemperature'>,
  index: number,
): ResultVial {
  const hues = series.hueDeg.filter((hue) => hue !== null);
  const first = hues[0] ?? null;
  const last = hues[hues.length - 1] ?? null;
  const flags = judged.vialFlags[index]!;
  const rateless = forbidsRate(flags);
  return {
    region: vial.region,
    label: vial.label,
    role: vial.role,
    group: vial.group,
    added_run_s: series.addedRunS,
    hue: { first_deg: first, last_deg: last, span_deg: first === null || last === null ? null : last - first },
    extent: { at_read: judged.atRead[index]!, last: judged.last[index]! },
    onset_s: rateless ? null : fit.onsetS,
    fit: rateless ? withoutRates(flags) : withRates(fit, judged.atReferenceTemperature[index]!),
    flags,
  };
}

function withRates(fit: Fit, atReference: ResultVial['fit']['at_reference_temperature']): ResultVial['fit'] {
  return {
    model: fit.model,
    reason: fit.reason,
    rate_constant: fit.rateConstant,
    amplitude: fit.amplitude,
    induction_s: fit.inductionS,
    background_rate: fit.backgroundRate,
    initial_rate: fit.initialRate,
    at_reference_temperature: atReference,
    half_time_s: fit.halfTimeS,
    residual_sd: fit.residualSd,
    aicc: fit.aicc,
    candidates: fit.candidates,
  };
}

/** A curve of no one solution: its model would mean nothing either. */
function withoutRates(flags: ResultVial['flags']): ResultVial['fit'] {
  const why = flags.filter((flag) => forbidsRate([flag])).map(({ message }) => message);
  return {
    model: null,
    reason: why.join(' '),
    rate_constant: null,
    amplitude: null,
    induction_s: null,
    background_rate: null,
    initial_rate: null,
    at_reference_temperature: null,
    half_time_s: null,
    residual_sd: null,
    aicc: null,
    candidates: [],
  };
}
