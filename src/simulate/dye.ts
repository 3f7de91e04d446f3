import { onGrid } from '../spectra/index.ts';

/**
 * Share of a wavelength that belongs to red, green or blue light: smooth steps at 490 and 580 nm, adding up to 1, so that equal
 * absorbance in all three is grey. Chosen: edges about as soft as those of a colour camera.
 */
const longerThan = (edgeNm: number): Float64Array => onGrid((nm) => 1 / (1 + Math.exp((edgeNm - nm) / 8)));
const beyondBlue = longerThan(490);
const beyondGreen = longerThan(580);
const bands: readonly Float64Array[] = [
  beyondGreen,
  beyondBlue.map((value, index) => value - beyondGreen[index]!),
  beyondBlue.map((value) => 1 - value),
];
/** Least linear light a dye lets through: a five-hundredth, so that a black channel is a finite absorbance. Chosen. */
const darkest = 0.002;
/** Mean path through a round vial as a share of its bore: a circle's mean chord is pi/4 of its diameter. */
const meanPath = Math.PI / 4;

/**
 * Absorbance per cm of an invented dye on its way from one colour to another; `extent` 0..1, `strength` 1 as dosed.
 * Under a white lamp and an even camera a vial of bore `boreCm` looks about like the colours asked for; other lamps and
 * cameras see it differently, as they would a real liquid.
 */
export function dyeMixture(
  { from, to }: { readonly from: string; readonly to: string },
  boreCm: number,
): (extent: number, strength: number) => Float64Array {
  const start = perCm(from, boreCm);
  const end = perCm(to, boreCm);
  return (extent, strength) => start.map((value, index) => strength * (value + extent * (end[index]! - value)));
}

function perCm(hex: string, boreCm: number): Float64Array {
  const absorbances = [1, 3, 5].map((at) => {
    const code = parseInt(hex.slice(at, at + 2), 16) / 255;
    const linear = code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
    return -Math.log10(Math.max(darkest, linear)) / (meanPath * boreCm);
  });
  return bands[0]!.map((_, index) =>
    bands.reduce((sum, band, channel) => sum + absorbances[channel]! * band[index]!, 0),
  );
}
