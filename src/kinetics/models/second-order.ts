import { logGrid, noBackground } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/**
 * A trace that is not in excess: sample and reagent run out together, and the extent stops at what the trace can use
 * up, A <= 1. Equal equivalents give the hyperbola A k t / (1 + k t); k is the apparent constant times the dose.
 */
export const secondOrder: KineticModel = {
  name: 'second-order',
  lower: [-1, 0, Math.log(1e-3)],
  upper: [2, 1.3, Math.log(2e4)],
  priors: [],
  amplitude: 1,
  starts: logGrid(0.05, 3000, 18).map((logRate) => [0, 1, logRate]),
  evaluate(b, time, value, partials) {
    const amplitude = b[1]!;
    const rate = Math.exp(b[2]!);
    for (let i = 0; i < time.length; i += 1) {
      const product = rate * time[i]!;
      const unit = product / (1 + product);
      value[i] = amplitude * unit;
      if (partials !== null) {
        partials[1]![i] = unit;
        partials[2]![i] = (amplitude * unit) / (1 + product);
      }
    }
  },
  initialRate: (b) => b[1]! * Math.exp(b[2]!),
  rate: { index: 2, unit: '1/s', logarithmic: true },
  induction: null,
  backgroundRate: noBackground,
};
