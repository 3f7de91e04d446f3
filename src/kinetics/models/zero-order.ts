import { noBackground } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/**
 * Constant speed until the reagent is used up: a slow step before the oxidation sets the pace and does not feel the
 * chromium, such as acid dehydration of a tertiary alcohol or enolisation of a ketone. Also the beginning of any slow
 * reaction: over a few per cent every curve is straight.
 */
export const zeroOrder: KineticModel = {
  name: 'zero-order',
  lower: [-1, 0],
  upper: [2, 2000],
  priors: [],
  amplitude: null,
  starts: [0.01, 0.05, 0.15, 0.4, 0.8, 1.2, 2, 4, 10, 40].map((rate) => [0, rate]),
  evaluate(b, time, value, partials) {
    const rate = b[1]!;
    for (let i = 0; i < time.length; i += 1) {
      const running = rate * time[i]! < 1;
      value[i] = running ? rate * time[i]! : 1;
      if (partials !== null) partials[1]![i] = running ? time[i]! : 0;
    }
  },
  initialRate: (b) => b[1]!,
  rate: { index: 1, unit: '1/s', logarithmic: false },
  induction: null,
  backgroundRate: noBackground,
};
