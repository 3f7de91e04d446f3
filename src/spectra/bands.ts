import type { Spectrum } from '../model/reaction.ts';
import { wavelengthsNm } from './wavelengths.ts';

/** One absorption band. */
export interface Band {
  /** Wavelength of its top, nm. */
  readonly centreNm: number;
  /** Full width at half height, nm; less than twice `centreNm`. */
  readonly widthNm: number;
  /** Height, L/(mol cm). */
  readonly epsilon: number;
}

/**
 * The sum of bands as a table, on the common grid or on `nm`. A band is a Gaussian in wavenumber, the usual shape of
 * broad electronic bands in solution: so it falls more slowly on its long-wavelength side.
 * Throws RangeError for a band without a positive centre and width.
 */
export function bandSpectrum(bands: readonly Band[], nm: readonly number[] = wavelengthsNm): Spectrum {
  return { nm, epsilon: nm.map((wavelength) => bands.reduce((sum, band) => sum + bandAt(band, wavelength), 0)) };
}

function bandAt({ centreNm, widthNm, epsilon }: Band, nm: number): number {
  if (!(centreNm > 0 && widthNm > 0 && widthNm < 2 * centreNm)) {
    throw new RangeError(`band: centre ${centreNm} nm, width ${widthNm} nm`);
  }
  const halfWidth = (1 / (centreNm - widthNm / 2) - 1 / (centreNm + widthNm / 2)) / 2;
  return epsilon * Math.exp(-Math.LN2 * ((1 / nm - 1 / centreNm) / halfWidth) ** 2);
}

/** How far real bands may lie from assumed ones: a shift, and factors on width and height. */
export interface BandChange {
  readonly shiftNm?: number;
  readonly widthFactor?: number;
  readonly heightFactor?: number;
}

/** The same bands moved; `changes[i]` applies to `bands[i]`, missing ones leave it as it is. */
export function changeBands(bands: readonly Band[], changes: readonly BandChange[]): readonly Band[] {
  return bands.map((band, index) => ({
    centreNm: band.centreNm + (changes[index]?.shiftNm ?? 0),
    widthNm: band.widthNm * (changes[index]?.widthFactor ?? 1),
    epsilon: band.epsilon * (changes[index]?.heightFactor ?? 1),
  }));
}
