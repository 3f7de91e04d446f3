import { logGrid, noBackground, wholeScale } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/**
 * Logistic rise from zero: a product speeds the reaction up (manganese, lower chromium states, heat), or several slow
 * steps in a row. (exp(k t) - 1) / (exp(k t) + exp(k h)): k is the final quickness, h near the half-time.
 */
export const sigmoid: KineticModel = {
  name: 'sigmoid',
  lower: [-1, 0, Math.log(0.5), 0],
  upper: [2, 1.5, Math.log(2e3), 2],
  priors: [wholeScale(1)],
  amplitude: 1,
  starts: [0.02, 0.06, 0.12, 0.2, 0.3, 0.45, 0.6, 0.8, 1.1, 1.5].flatMap((half) =>
    logGrid(2, 400, 8).map((logRate) => [0, 1, logRate, half]),
  ),
  evaluate(b, time, value, partials) {
    const amplitude = b[1]!;
    const rate = Math.exp(b[2]!);
    const half = b[3]!;
    // Divided by exp(k t): (1 - u) / (1 + w), u = exp(-k t), w = exp(k (h - t)).
    for (let i = 0; i < time.length; i += 1) {
      const at = time[i]!;
      const u = Math.exp(-rate * at);
      const w = Math.exp(Math.min(rate * (half - at), 600));
      const unit = (1 - u) / (1 + w);
      value[i] = amplitude * unit;
      if (partials !== null) {
        const share = w > 1e100 ? 0 : w / (1 + w);
        partials[1]![i] = unit;
        partials[2]![i] = amplitude * rate * ((at * u) / (1 + w) - unit * (half - at) * share);
        partials[3]![i] = -amplitude * unit * rate * share;
      }
    }
  },
  /** Slope at h, the greatest: k (1 + exp(-k h)) / 4. */
  initialRate: (b) => 0.25 * b[1]! * Math.exp(b[2]!) * (1 + Math.exp(-Math.exp(b[2]!) * b[3]!)),
  rate: { index: 2, unit: '1/s', logarithmic: true },
  induction: null,
  backgroundRate: noBackground,
};
