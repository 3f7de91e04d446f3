import type { Estimate, TimeEstimate } from '../../src/model/estimate.ts';
import type { Fit } from '../../src/model/fit.ts';
import type { ExampleVial } from './example-vials.ts';

/** True extent of an example vial, seconds since its reagent was added. */
export function exampleCurve(vial: ExampleVial, timeS: number): number {
  const after = Math.max(0, timeS - vial.lagS) / 3600;
  return vial.size * (1 - Math.exp(-vial.ratePerH * after)) + (vial.slopePerH * Math.max(0, timeS)) / 3600;
}

const estimate = (value: number, se: number): Estimate => ({ value, se, ci95: [value - 1.96 * se, value + 1.96 * se] });
const time = (value: number, se: number): TimeEstimate => ({ ...estimate(value, se), censored: 'none' });

export function exampleFit(vial: ExampleVial, durationS: number): Fit {
  const timeS = Array.from({ length: 121 }, (_, index) => (index * durationS) / 120);
  const extent = timeS.map((at) => exampleCurve(vial, at));
  const error = extent.map((at) => 0.012 + 0.02 * at * (1 - at));
  const moves = vial.size > 0.01;
  const full = vial.size > 0.9;
  const half = timeS.findIndex((_, index) => extent[index]! >= 0.5);
  const ratePerS = (vial.size * vial.ratePerH + vial.slopePerH) / 3600;
  return {
    model: !moves ? 'none' : vial.lagS > 0 ? 'first-order-induction' : full ? 'first-order' : 'burst-background',
    reason: null,
    rateConstant: moves ? { ...estimate(vial.ratePerH / 3600, (0.05 * vial.ratePerH) / 3600), unit: '1/s' } : null,
    amplitude: moves && !full ? estimate(vial.size, 0.012) : null,
    inductionS: vial.lagS > 0 ? estimate(vial.lagS, 150) : null,
    backgroundRate: moves && !full ? estimate(vial.slopePerH / 3600, 0.003 / 3600) : null,
    initialRate: estimate(ratePerS, Math.max(0.0035 / 3600, 0.07 * ratePerS)),
    halfTimeS:
      half < 0
        ? { value: durationS, se: null, ci95: [durationS, null], censored: 'right' }
        : time(timeS[half]!, 130 + 0.01 * timeS[half]!),
    onsetS: moves
      ? time(vial.lagS + (0.04 / (vial.size * vial.ratePerH)) * 3600 + 30, 60)
      : { value: durationS, se: null, ci95: [durationS, null], censored: 'right' },
    pathRelative: null,
    residualSd: 0.0062,
    autocorrelation: 0.1,
    aicc: -1750,
    candidates: [
      { model: 'none', aicc: moves ? -210 : -1750, weight: moves ? 0 : 0.8 },
      { model: 'first-order', aicc: -1740, weight: moves ? 1 : 0.2 },
    ],
    outliers: [],
    curve: {
      timeS,
      extent,
      lower: extent.map((at, index) => at - 1.96 * error[index]!),
      upper: extent.map((at, index) => at + 1.96 * error[index]!),
    },
  };
}
