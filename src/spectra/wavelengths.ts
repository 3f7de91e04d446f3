import type { Spectrum } from '../model/reaction.ts';

/**
 * The grid on which light is added up: 380 to 730 nm in 5 nm steps, 71 values.
 * Chosen: colour cameras are cut off near 400 and 700 nm, and no curve used here bends within 5 nm.
 */
export const wavelengthsNm: readonly number[] = Array.from({ length: 71 }, (_, index) => 380 + 5 * index);

/** Values of a function of wavelength (nm) on the grid. */
export function onGrid(value: (nm: number) => number): Float64Array {
  return Float64Array.from(wavelengthsNm, value);
}

/**
 * A tabulated spectrum on the grid: linear between its points, its end values beyond them.
 * Throws RangeError for an empty table, unequal lengths or wavelengths that do not ascend.
 */
export function spectrumOnGrid(spectrum: Spectrum): Float64Array {
  const { nm, epsilon } = spectrum;
  if (nm.length === 0 || nm.length !== epsilon.length) {
    throw new RangeError(`spectrum: ${nm.length} wavelengths for ${epsilon.length} values`);
  }
  for (let index = 1; index < nm.length; index += 1) {
    if (!(nm[index]! > nm[index - 1]!)) throw new RangeError('spectrum: wavelengths must ascend');
  }
  let upper = 0;
  return onGrid((wavelength) => {
    while (upper < nm.length && nm[upper]! < wavelength) upper += 1;
    if (upper === 0) return epsilon[0]!;
    if (upper === nm.length) return epsilon[nm.length - 1]!;
    const share = (wavelength - nm[upper - 1]!) / (nm[upper]! - nm[upper - 1]!);
    return epsilon[upper - 1]! + share * (epsilon[upper]! - epsilon[upper - 1]!);
  });
}
