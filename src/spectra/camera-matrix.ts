import type { Sensitivities } from './cameras.ts';
import type { Lamp } from './lamps.ts';
import { adaptedLinearSrgb, type Matrix3, type Triple } from './observer.ts';
import { identityMatrix, renderLinearRgb } from './render.ts';
import { wavelengthsNm } from './wavelengths.ts';

/**
 * The matrix from white-balanced camera channels to linear sRGB that a maker would choose: least squares against the
 * CIE 1931 observer over smooth reflectances under `lamp`, with white kept exactly (each row sums to 1).
 */
export function cameraMatrix(lamp: Lamp, sensitivities: Sensitivities): Matrix3 {
  const pairs = smoothReflectances().map((transmittance) => ({
    camera: renderLinearRgb({ lamp, sensitivities, matrix: identityMatrix, transmittance }),
    wanted: adaptedLinearSrgb(lit(lamp, transmittance), lamp),
  }));
  return [0, 1, 2].map((channel) => whiteKeepingRow(pairs, channel)) as unknown as Matrix3;
}

/** Row (1 - p - q, p, q)-like least squares in the two differences to green: so a grey stays grey for any p and q. */
function whiteKeepingRow(
  pairs: readonly { readonly camera: Triple; readonly wanted: Triple }[],
  channel: number,
): Triple {
  let uu = 0;
  let uv = 0;
  let vv = 0;
  let uy = 0;
  let vy = 0;
  for (const { camera, wanted } of pairs) {
    const u = camera[0] - camera[1];
    const v = camera[2] - camera[1];
    const y = wanted[channel]! - camera[1];
    uu += u * u;
    uv += u * v;
    vv += v * v;
    uy += u * y;
    vy += v * y;
  }
  const whole = uu * vv - uv * uv;
  const red = (uy * vv - vy * uv) / whole;
  const blue = (vy * uu - uy * uv) / whole;
  return [red, 1 - red - blue, blue];
}

const lit = (lamp: Lamp, transmittance: Float64Array): Float64Array =>
  lamp.map((power, index) => power * transmittance[index]!);

/** Smooth colours all round the hue circle: raised sines of 1/2 to 2 waves over the visible range, 12 phases each (chosen). */
function smoothReflectances(): readonly Float64Array[] {
  const span = wavelengthsNm.length;
  return [0.5, 1, 1.5, 2].flatMap((waves) =>
    Array.from({ length: 12 }, (_, phase) =>
      Float64Array.from(
        wavelengthsNm,
        (_nm, index) => 0.5 + 0.42 * Math.sin(2 * Math.PI * ((waves * index) / span + phase / 12)),
      ),
    ),
  );
}
