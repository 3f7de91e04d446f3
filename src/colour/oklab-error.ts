import { chromaFloor, conesToOklab, linearRgbToOklab, rgbToCones } from './oklab.ts';
import type { LinearRgb } from './oklab.ts';

/** A colour in OKLCh with standard errors; hue and its error are `null` where the hue is not told. */
export interface OklchEstimate {
  readonly lightness: number;
  readonly lightnessSe: number;
  readonly chroma: number;
  readonly chromaSe: number;
  readonly hueDeg: number | null;
  readonly hueSeDeg: number | null;
}

/** Smallest cone response used in the slope of the cube root: at 0 the slope is infinite. Chosen: an eighth of an 8-bit step of black, in linear light. */
const darkestCone = 4e-5;

/**
 * OKLCh of a linear sRGB colour with independent channel standard errors, by the delta method.
 * The hue is `null` when chroma is below the floor or below three of its own standard errors across the hue (then the angle means nothing).
 */
export function oklabFromLinearWithSe(rgb: LinearRgb, se: LinearRgb): OklchEstimate {
  const [lightness, a, b] = linearRgbToOklab(rgb);
  const chroma = Math.hypot(a, b);
  const slopes = oklabSlopes(rgb);
  // Along and across the hue direction; for grey any direction serves.
  const [ux, uy] = chroma > 0 ? [a / chroma, b / chroma] : [1, 0];
  let varLightness = 0;
  let varAlong = 0;
  let varAcross = 0;
  for (let channel = 0; channel < 3; channel += 1) {
    const error = se[channel]!;
    const da = slopes[1][channel]! * error;
    const db = slopes[2][channel]! * error;
    varLightness += (slopes[0][channel]! * error) ** 2;
    varAlong += (da * ux + db * uy) ** 2;
    varAcross += (-da * uy + db * ux) ** 2;
  }
  const across = Math.sqrt(varAcross);
  const told = chroma >= chromaFloor && chroma > 3 * across;
  return {
    lightness,
    lightnessSe: Math.sqrt(varLightness),
    chroma,
    chromaSe: Math.sqrt(varAlong),
    hueDeg: told ? ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360 : null,
    hueSeDeg: told ? ((across / chroma) * 180) / Math.PI : null,
  };
}

/** Slopes of (lightness, a, b) by linear (red, green, blue): `[row][channel]`. */
export function oklabSlopes(rgb: LinearRgb): readonly [Slopes, Slopes, Slopes] {
  const roots = rootSlopes(rgb);
  return [slopesOf(conesToOklab[0], roots), slopesOf(conesToOklab[1], roots), slopesOf(conesToOklab[2], roots)];
}

/** Those of lightness alone. */
export const lightnessSlopes = (rgb: LinearRgb): Slopes => slopesOf(conesToOklab[0], rootSlopes(rgb));

type Slopes = readonly [red: number, green: number, blue: number];

/** Slopes of the cube roots of the cone responses. */
const rootSlopes = (rgb: LinearRgb): Slopes => [
  rootSlope(rgbToCones[0], rgb),
  rootSlope(rgbToCones[1], rgb),
  rootSlope(rgbToCones[2], rgb),
];

function rootSlope(row: Slopes, rgb: LinearRgb): number {
  const cone = Math.abs(row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2]);
  return 1 / (3 * Math.cbrt(Math.max(cone, darkestCone)) ** 2);
}

function slopesOf(row: Slopes, roots: Slopes): Slopes {
  const by = (channel: 0 | 1 | 2): number =>
    row[0] * roots[0] * rgbToCones[0][channel] +
    row[1] * roots[1] * rgbToCones[1][channel] +
    row[2] * roots[2] * rgbToCones[2][channel];
  return [by(0), by(1), by(2)];
}
