import { logGrid, noBackground, wholeScale } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/**
 * A slow first step makes what the chromium oxidises: A -> B -> C, such as an ester that must first be hydrolysed.
 * Starts as t^2, without true dead time. With both constants k and m: 1 - (m exp(-k t) - k exp(-m t)) / (m - k).
 * The curve is the same with k and m exchanged: the smaller is reported. Parameter 3 is ln(m / k) >= 0.
 */
export const consecutive: KineticModel = {
  name: 'consecutive',
  lower: [-1, 0, Math.log(1e-3), 1e-3],
  upper: [2, 1.5, Math.log(2e3), Math.log(200)],
  priors: [wholeScale(1)],
  amplitude: 1,
  starts: logGrid(0.05, 60, 12).flatMap((logRate) => [0.1, 0.7, 1.6, 3].map((ratio) => [0, 1, logRate, ratio])),
  evaluate(b, time, value, partials) {
    const amplitude = b[1]!;
    const slow = Math.exp(b[2]!);
    const ratio = Math.exp(b[3]!);
    const quick = slow * ratio;
    const gap = ratio - 1;
    for (let i = 0; i < time.length; i += 1) {
      const at = time[i]!;
      const slowLeft = Math.exp(-slow * at);
      const quickLeft = Math.exp(-quick * at);
      const unit = 1 - (ratio * slowLeft - quickLeft) / gap;
      value[i] = amplitude * unit;
      if (partials !== null) {
        partials[1]![i] = unit;
        // d/d ln k with m/k fixed; d/d ln(m/k).
        partials[2]![i] = (amplitude * at * quick * (slowLeft - quickLeft)) / gap;
        const byRatio = (slowLeft + slow * at * quickLeft) / gap - (ratio * slowLeft - quickLeft) / (gap * gap);
        partials[3]![i] = -amplitude * ratio * byRatio;
      }
    }
  },
  /** Greatest slope, which the curve has at ln(m / k) / (m - k): k (m/k)^(-1 / (m/k - 1)). */
  initialRate: (b) => b[1]! * Math.exp(b[2]! - b[3]! / Math.expm1(b[3]!)),
  rate: { index: 2, unit: '1/s', logarithmic: true },
  induction: null,
  backgroundRate: noBackground,
};
