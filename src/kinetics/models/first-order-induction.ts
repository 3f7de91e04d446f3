import { logGrid, noBackground, wholeScale } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/**
 * First order after a dead time: an inhibitor is used up first, the sample dissolves or warms late, or an intermediate
 * must build up faster than can be seen. The dead time is where the curve's tangent meets the time axis.
 */
export const firstOrderInduction: KineticModel = {
  name: 'first-order-induction',
  lower: [-1, 0, Math.log(1e-4), 0],
  upper: [2, 1.5, Math.log(2e4), 0.98],
  priors: [wholeScale(1)],
  amplitude: 1,
  starts: [0.01, 0.03, 0.07, 0.13, 0.2, 0.3, 0.42, 0.55, 0.7, 0.85].flatMap((delay) =>
    logGrid(0.05, 300, 9).map((logRate) => [0, 1, logRate, delay]),
  ),
  evaluate(b, time, value, partials) {
    const amplitude = b[1]!;
    const rate = Math.exp(b[2]!);
    for (let i = 0; i < time.length; i += 1) {
      const since = time[i]! - b[3]!;
      const exponent = since > 0 ? rate * since : 0;
      const left = Math.exp(-exponent);
      value[i] = amplitude * (1 - left);
      if (partials !== null) {
        partials[1]![i] = 1 - left;
        partials[2]![i] = amplitude * exponent * left;
        partials[3]![i] = since > 0 ? -amplitude * rate * left : 0;
      }
    }
  },
  initialRate: (b) => b[1]! * Math.exp(b[2]!),
  rate: { index: 2, unit: '1/s', logarithmic: true },
  induction: 3,
  backgroundRate: noBackground,
};
