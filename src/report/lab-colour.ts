import { converter, formatHex } from 'culori';

const srgb = converter('rgb');

/** Display colour (sRGB) of CIELAB under D65; what a screen cannot show is cut to its range. */
export function hexOfLab([l, a, b]: readonly [number, number, number]): string {
  const colour = srgb({ mode: 'lab65', l, a, b });
  const cut = (value: number): number => Math.min(1, Math.max(0, value));
  return formatHex({ mode: 'rgb', r: cut(colour.r), g: cut(colour.g), b: cut(colour.b) });
}

/** `52, −31, 20`: lightness, a and b to the unit. */
export function labWords(lab: readonly [number, number, number]): string {
  return lab.map((value) => value.toFixed(0).replace(/^-0$/, '0').replace('-', '−')).join(', ');
}
