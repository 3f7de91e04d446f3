import { ciede2000, xyzRatioToLab, type Lab } from '../colour/index.ts';
import { inEvenLight } from './place-light.ts';

/** A small step in logs, for slopes. */
const step = 0.01;

/** CIEDE2000 that a relative error of 1 in the light behind a vial makes at this colour (slope of a small error). */
export function lightSensitivity(lab: Lab): number {
  return ciede2000(lab, inEvenLight(lab, step)) / step;
}

/**
 * The same for the depth of colour: a relative error in the path, in the volume or in the strength of what is in the vial. Each of X, Y, Z is taken
 * to be a transmittance and follows Bouguer and Beer.
 */
function depthSensitivity(lab: Lab): number {
  const [x, y, z] = xyzRatios(lab).map((ratio) => Math.min(1, Math.max(1e-3, ratio)) ** (1 + step));
  const start = xyzRatios(lab).map((ratio) => Math.min(1, Math.max(1e-3, ratio)));
  return ciede2000(xyzRatioToLab(start[0]!, start[1]!, start[2]!), xyzRatioToLab(x!, y!, z!)) / step;
}

/**
 * How far like vials of this colour scatter against those of another, CIEDE2000 a relative error of 1 in light and depth alike. Only ratios between colours
 * matter: pale liquids scatter least. Chosen: glass and bore of vials, and dosing, differ by about as much each.
 */
export function scatterScale(lab: Lab): number {
  return Math.hypot(lightSensitivity(lab), depthSensitivity(lab));
}

/** CIELAB to tristimulus values over those of the white (CIE 15: break (6/29)^3). */
function xyzRatios([l, a, b]: Lab): readonly [number, number, number] {
  const f = (l + 16) / 116;
  const cube = (root: number): number => (root > 6 / 29 ? root ** 3 : (116 * root - 16) * (27 / 24389));
  return [cube(f + a / 500), cube(f), cube(f - b / 200)];
}
