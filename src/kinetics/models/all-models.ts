import type { KineticModel } from '../kinetic-model.ts';
import { burstBackground } from './burst-background.ts';
import { consecutive } from './consecutive.ts';
import { firstOrder } from './first-order.ts';
import { firstOrderInduction } from './first-order-induction.ts';
import { none } from './none.ts';
import { secondOrder } from './second-order.ts';
import { sigmoid } from './sigmoid.ts';
import { zeroOrder } from './zero-order.ts';

/** Every candidate, simplest first. To add one: write its file, list it here, and name it in model/fit.ts. */
export const allModels: readonly KineticModel[] = [
  none,
  zeroOrder,
  firstOrder,
  firstOrderInduction,
  burstBackground,
  consecutive,
  sigmoid,
  secondOrder,
];
