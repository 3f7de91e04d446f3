import { differenceCiede2000 } from 'culori';
import type { LinearRgb } from './oklab.ts';

/** CIELAB relative to D65. */
export type Lab = readonly [lightness: number, a: number, b: number];

const difference = differenceCiede2000();
const toColor = ([l, a, b]: Lab): { mode: 'lab65'; l: number; a: number; b: number } => ({ mode: 'lab65', l, a, b });

/** CIEDE2000 colour difference with unit weights (computed by culori). The formula holds for any white; both colours must share it. */
export function ciede2000(first: Lab, second: Lab): number {
  return difference(toColor(first), toColor(second));
}

/** Linear sRGB to CIELAB under its own white D65 (x 0.3127, y 0.3290), not clipped. */
export function linearRgbToLab([red, green, blue]: LinearRgb): Lab {
  // IEC 61966-2-1 primaries, rows divided by the white (row sums).
  const x = (0.4123908 * red + 0.35758434 * green + 0.18048079 * blue) / 0.95045593;
  const y = 0.21263901 * red + 0.71516868 * green + 0.07219232 * blue;
  const z = (0.01933082 * red + 0.11919478 * green + 0.95053215 * blue) / 1.08905775;
  return xyzRatioToLab(x, y, z);
}

/** CIELAB of tristimulus values already divided by those of the white (CIE 15: break (6/29)^3). */
export function xyzRatioToLab(x: number, y: number, z: number): Lab {
  const root = (ratio: number): number =>
    ratio > 216 / 24389 ? Math.cbrt(ratio) : (24389 / 27) * (ratio / 116) + 16 / 116;
  return [116 * root(y) - 16, 500 * (root(x) - root(y)), 200 * (root(y) - root(z))];
}
