import type { Triple } from './vial-colours.ts';

/**
 * What one colour may be off the model by, encoded units: glass, the model's own misfit. Blue counts least: it rises from
 * nothing within the last fifth, where lamp, camera and Cr(VI)'s flank are least known. Measured on 40 racks of a second
 * physics (tests/support/other-physics.ts), mid-curve error RMS: 0.037 with 0.005 for all, 0.027 with 0.008, 0.022 so.
 */
export const modelSd: Triple = [0.006, 0.004, 0.02];
