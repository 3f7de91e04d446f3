import { encodeSrgb } from './transfer.ts';
import type { LinearRgb } from './oklab.ts';

/** Linear sRGB as `#rrggbb`, each channel cut to 0..1: for painting only, never for calculation. */
export function linearRgbToHex(rgb: LinearRgb): string {
  const channel = (linear: number): string =>
    Math.round(255 * encodeSrgb(Math.min(1, Math.max(0, linear))))
      .toString(16)
      .padStart(2, '0');
  return `#${channel(rgb[0])}${channel(rgb[1])}${channel(rgb[2])}`;
}
