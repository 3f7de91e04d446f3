import { noBackground } from '../kinetic-model.ts';
import type { KineticModel } from '../kinetic-model.ts';

/** No reaction within what can be seen: extent stays at the vial's constant offset. */
export const none: KineticModel = {
  name: 'none',
  lower: [-1],
  upper: [2],
  priors: [],
  amplitude: null,
  starts: [[0]],
  evaluate(_b, _time, value) {
    value.fill(0);
  },
  initialRate: () => 0,
  rate: null,
  induction: null,
  backgroundRate: noBackground,
};
