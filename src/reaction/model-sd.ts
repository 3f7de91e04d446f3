import type { Triple } from './vial-colours.ts';

/**
 * What one colour may be off the path by, encoded units, once the path has its misfit (path-misfit.ts): what is left of
 * glare, compression and light. Blue counts least: it rises from nothing within the last fifth, where lamp, camera and
 * Cr(VI)'s flank are least known. Chosen by racks of two physics; 0.0015 and 0.003 for red and green did no better.
 */
export const modelSd: Triple = [0.002, 0.002, 0.01];

/**
 * The same for the physics alone. Measured on 40 racks of a second physics (tests/support/other-physics.ts), mid-curve
 * error RMS: 0.037 with 0.005 for all, 0.027 with 0.008, 0.022 so.
 */
export const physicsSd: Triple = [0.006, 0.004, 0.02];
