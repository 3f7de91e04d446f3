import { logGrid } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/** The quick part is at least this many times as fast as the bulk; chosen: below it two parts cannot be told apart. */
const leastContrast = Math.log(5);

/**
 * A quick part of size A, then the slow reaction of the bulk: a little reactive impurity (a primary or secondary alcohol
 * in a tertiary one) is used up first order, and the rest of the reagent goes on slowly with the bulk.
 * A (1 - exp(-k t)) + (1 - A)(1 - exp(-k' t)), k > 5 k'. The burst's size measures the impurity, its k the reactivity.
 * Parameter 3 is ln(k'), held below ln(k) - ln 5 by writing k' as a share of k / 5.
 */
export const burstBackground: KineticModel = {
  name: 'burst-background',
  lower: [-1, 0, Math.log(0.5), Math.log(1e-7)],
  upper: [2, 0.97, Math.log(2e4), 0],
  priors: [],
  amplitude: 1,
  starts: logGrid(2, 2000, 12).flatMap((logRate) =>
    [1e-3, 0.01, 0.05, 0.2, 0.6].map((slow) => [0, 1, logRate, slowShare(Math.log(slow), logRate)]),
  ),
  evaluate(b, time, value, partials) {
    const amplitude = b[1]!;
    const quick = Math.exp(b[2]!);
    const slow = quick * Math.exp(b[3]! - leastContrast);
    for (let i = 0; i < time.length; i += 1) {
      const quickLeft = Math.exp(-quick * time[i]!);
      const slowLeft = Math.exp(-slow * time[i]!);
      value[i] = amplitude * (slowLeft - quickLeft) + 1 - slowLeft;
      if (partials !== null) {
        const bySlow = (1 - amplitude) * slow * time[i]! * slowLeft;
        partials[1]![i] = slowLeft - quickLeft;
        partials[2]![i] = amplitude * quick * time[i]! * quickLeft + bySlow;
        partials[3]![i] = bySlow;
      }
    }
  },
  initialRate: (b) => b[1]! * Math.exp(b[2]!) + slowRate(b),
  rate: { index: 2, unit: '1/s', logarithmic: true },
  induction: null,
  backgroundRate: slowRate,
};

function slowRate(b: Float64Array): number {
  return (1 - b[1]!) * Math.exp(b[2]! + b[3]! - leastContrast);
}

function slowShare(logSlow: number, logQuick: number): number {
  return Math.min(Math.max(logSlow - logQuick + leastContrast, Math.log(1e-7)), 0);
}
