/** Linear light of the sRGB primaries, 0..1 nominal. */
export type LinearRgb = readonly [red: number, green: number, blue: number];
/** OKLab: lightness 0..1, a (green to red) and b (blue to yellow) about -0.4..0.4. */
export type Oklab = readonly [lightness: number, a: number, b: number];

/** OKLab in polar form; hue in degrees 0..360, `null` below {@link chromaFloor}. */
export interface Oklch {
  readonly lightness: number;
  readonly chroma: number;
  readonly hueDeg: number | null;
}

/** Chroma below which a hue is not told. Chosen: one 8-bit step of one channel of a mid grey moves OKLab by about 0.003, so 0.02 keeps such a step below 9 degrees. */
export const chromaFloor = 0.02;

/** Linear sRGB to cone responses, and their cube roots to OKLab (B. Ottosson, "A perceptual color space for image processing", 2020). */
export const rgbToCones = [
  [0.4122214708, 0.5363325363, 0.0514459929],
  [0.2119034982, 0.6806995451, 0.1073969566],
  [0.0883024619, 0.2817188376, 0.6299787005],
] as const;
export const conesToOklab = [
  [0.2104542553, 0.793617785, -0.0040720468],
  [1.9779984951, -2.428592205, 0.4505937099],
  [0.0259040371, 0.7827717662, -0.808675766],
] as const;

type Vector = readonly [number, number, number];
type Rows = readonly [Vector, Vector, Vector];

const times = (rows: Rows, [x, y, z]: Vector): [number, number, number] => [
  rows[0][0] * x + rows[0][1] * y + rows[0][2] * z,
  rows[1][0] * x + rows[1][1] * y + rows[1][2] * z,
  rows[2][0] * x + rows[2][1] * y + rows[2][2] * z,
];

/** Linear sRGB to OKLab; colours outside the gamut are carried through (cube roots are odd). */
export function linearRgbToOklab(rgb: LinearRgb): Oklab {
  const [l, m, s] = times(rgbToCones, rgb);
  return times(conesToOklab, [Math.cbrt(l), Math.cbrt(m), Math.cbrt(s)]);
}

/** Polar form; the hue is `null` where chroma is below {@link chromaFloor}. */
export function oklabToOklch([lightness, a, b]: Oklab): Oklch {
  const chroma = Math.hypot(a, b);
  const hueDeg = chroma < chromaFloor ? null : ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  return { lightness, chroma, hueDeg };
}

/** Distance of two colours in OKLab (Euclidean). */
export function oklabDistance(first: Oklab, second: Oklab): number {
  return Math.hypot(first[0] - second[0], first[1] - second[1], first[2] - second[2]);
}
