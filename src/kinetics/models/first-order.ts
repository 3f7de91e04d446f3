import { logGrid, noBackground, wholeScale } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/**
 * Apparent first order in the coloured reagent, sample in excess: 1 - exp(-k t). The constant holds at this dose of
 * sample and acid only; dimerisation of chromium(VI) and acid used up bend the curve a little.
 */
export const firstOrder: KineticModel = {
  name: 'first-order',
  lower: [-1, 0, Math.log(1e-4)],
  upper: [2, 1.5, Math.log(2e4)],
  priors: [wholeScale(1)],
  amplitude: 1,
  starts: logGrid(0.005, 2000, 28).map((logRate) => [0, 1, logRate]),
  evaluate(b, time, value, partials) {
    const amplitude = b[1]!;
    const rate = Math.exp(b[2]!);
    for (let i = 0; i < time.length; i += 1) {
      const exponent = rate * time[i]!;
      const left = Math.exp(-exponent);
      value[i] = amplitude * (1 - left);
      if (partials !== null) {
        partials[1]![i] = 1 - left;
        partials[2]![i] = amplitude * exponent * left;
      }
    }
  },
  initialRate: (b) => b[1]! * Math.exp(b[2]!),
  rate: { index: 2, unit: '1/s', logarithmic: true },
  induction: null,
  backgroundRate: noBackground,
};
