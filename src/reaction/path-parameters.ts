import type { Interpolated } from '../model/reaction.ts';

/**
 * The unknowns of a colour path, each with what is believed before any colour is seen: mean and standard deviation of
 * a normal prior. The means are the assumed lamp, camera and spectra; the spreads say how far real ones may lie from
 * them. All spreads are chosen (no survey of bench cameras exists) and were held against paths drawn from a second,
 * independent physics (tests/reaction/colour-path.test.ts).
 */
export interface PathParameter {
  readonly name: string;
  readonly mean: number;
  readonly sd: number;
}

/**
 * Cr(VI) times path length, mol/L cm, when the dose is not told: 0.1 g K2Cr2O7 in 11 mL seen through 1 cm (common
 * practice, no source).
 */
const usualAmount = 0.062;

export interface PathPriorOptions {
  /** What is believed of the start spectrum where it is interpolated only; `null`: it is published throughout. */
  readonly interpolated: Pick<Interpolated, 'log' | 'logSd'> | null;
  /** Concentration of the coloured reagent atom in the vial, mol/L; `null` when the dose is not told. */
  readonly reagentMolPerL: number | null;
}

/** Index of each unknown in the parameter vector. */
export const at = {
  logAmount: 0,
  logEndToStart: 1,
  startTilt: 2,
  startCurve: 3,
  endShift: 4,
  endStretch: 5,
  endTilt: 6,
  lampTilt: 7,
  lampCurve: 8,
  redShift: 9,
  greenShift: 10,
  blueShift: 11,
  redWidth: 12,
  greenWidth: 13,
  blueWidth: 14,
  mixing: 15, // six numbers: rg rb gr gb br bg
  logExposure: 21,
  redGain: 22,
  blueGain: 23,
  flare: 24,
  pathSpread: 25,
  endSharpness: 26,
  startBetween: 27,
} as const;

/** Unknowns of lamp, camera, spectra and reagent: all that {@link pathPrior} describes. The path's misfit follows them. */
export const physicsCount = 28;

/** The prior of every unknown; `mixing` holds the six off-diagonal elements of the assumed camera matrix. */
export function pathPrior(mixing: readonly number[], options: PathPriorOptions): readonly PathParameter[] {
  const known = options.reagentMolPerL !== null;
  const parameters: PathParameter[] = [];
  const set = (index: number, name: string, mean: number, sd: number): void => {
    parameters[index] = { name, mean, sd };
  };
  // a vial's inner width is about 1 cm, seen across its middle: 0.7 to 1.4 cm
  set(at.logAmount, 'reagent amount (log)', Math.log(options.reagentMolPerL ?? usualAmount), known ? 0.3 : 0.5);
  set(at.logEndToStart, 'end species to start species (log)', -0.1, 0.15);
  set(at.startTilt, 'start spectrum: tail (log per 60 nm)', -0.08, 0.1);
  set(at.startCurve, 'start spectrum: tail curvature', 0, 0.05);
  set(at.endShift, 'end spectrum: shift (nm)', -4, 8);
  set(at.endStretch, 'end spectrum: distance of its bands', 0, 0.06);
  set(at.endTilt, 'end spectrum: ratio of its bands (log)', 0, 0.2);
  set(at.lampTilt, 'lamp: log power per 100 nm', -0.25, 0.45);
  set(at.lampCurve, 'lamp: curvature', 0.2, 0.4);
  set(at.redShift, 'red sensitivity: shift (nm)', 0, 9);
  set(at.greenShift, 'green sensitivity: shift (nm)', 0, 9);
  set(at.blueShift, 'blue sensitivity: shift (nm)', 0, 9);
  set(at.redWidth, 'red sensitivity: width (log)', 0.15, 0.2);
  set(at.greenWidth, 'green sensitivity: width (log)', 0.08, 0.2);
  set(at.blueWidth, 'blue sensitivity: width (log)', 0, 0.2);
  mixing.forEach((value, index) => set(at.mixing + index, `camera mixing ${index + 1}`, value, 0.2));
  set(at.logExposure, 'brightness against the patch (log)', Math.log(0.75), 0.5);
  set(at.redGain, 'red gain (log)', 0, 0.04);
  set(at.blueGain, 'blue gain (log)', 0, 0.04);
  set(at.flare, 'stray light', 0.01, 0.01);
  set(at.pathSpread, 'spread of path length', 0.05, 0.04);
  set(at.endSharpness, 'end spectrum: sharpness of its bands (log)', 0.12, 0.2);
  const { log, logSd } = options.interpolated ?? { log: 0, logSd: 0 };
  set(at.startBetween, 'start spectrum: height between its published points (log)', log, logSd);
  return parameters;
}
