import { cieD65 } from './cie-tables.ts';
import { onGrid } from './wavelengths.ts';

/** Relative spectral power on the common grid; its scale is free. */
export type Lamp = Float64Array;

/** Second radiation constant hc/k, m K (CODATA 2018; from memory). */
const secondRadiationConstant = 1.438776877e-2;

/** Planck's law: relative power per wavelength of a black body of `kelvin`, 1 at 560 nm. */
export function blackbody(kelvin: number): Lamp {
  const power = (nm: number): number => nm ** -5 / Math.expm1(secondRadiationConstant / (nm * 1e-9 * kelvin));
  const reference = power(560);
  return onGrid((nm) => power(nm) / reference);
}

/** CIE standard illuminant D65, 1 at 560 nm. */
export function daylightD65(): Lamp {
  return Float64Array.from(cieD65, (value) => value / 100);
}

export interface WhiteLedShape {
  readonly bluePeakNm: number;
  readonly blueWidthNm: number;
  readonly phosphorPeakNm: number;
  readonly phosphorWidthNm: number;
  /** Height of the blue line against the phosphor's top. */
  readonly blueHeight: number;
}

/** A blue-pumped phosphor LED: narrow blue line and broad phosphor hump, Gaussians of the given full widths at half height. */
export function whiteLed(shape: WhiteLedShape): Lamp {
  return onGrid(
    (nm) =>
      shape.blueHeight * gaussian(nm, shape.bluePeakNm, shape.blueWidthNm) +
      gaussian(nm, shape.phosphorPeakNm, shape.phosphorWidthNm),
  );
}

/** Shapes typical of lamps on sale (chosen): about 2900 K and about 5000 K. */
export const warmLed: WhiteLedShape = {
  bluePeakNm: 450,
  blueWidthNm: 24,
  phosphorPeakNm: 600,
  phosphorWidthNm: 135,
  blueHeight: 0.42,
};
export const neutralLed: WhiteLedShape = {
  bluePeakNm: 452,
  blueWidthNm: 26,
  phosphorPeakNm: 565,
  phosphorWidthNm: 140,
  blueHeight: 1.05,
};

/** Gaussian of height 1 with full width at half height `width`. */
export function gaussian(at: number, centre: number, width: number): number {
  return Math.exp(-4 * Math.LN2 * ((at - centre) / width) ** 2);
}
