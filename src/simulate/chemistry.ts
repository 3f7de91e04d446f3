import {
  absorbancePerCm,
  bandSpectrum,
  changeBands,
  chromateBands,
  hexaaquaBands,
  layerTransmittance,
  onGrid,
  spectrumOnGrid,
  sulfatoBands,
  type Band,
  type BandChange,
} from '../spectra/index.ts';
import type { Scenario } from './scenario.ts';

/** Molar mass g/mol and chromium atoms of the salts a recipe may name; masses from IUPAC standard atomic weights. */
const salts: Readonly<Record<string, { readonly gMol: number; readonly chromium: number }>> = {
  K2Cr2O7: { gMol: 294.185, chromium: 2 },
  'Na2Cr2O7.2H2O': { gMol: 297.998, chromium: 2 },
  '(NH4)2Cr2O7': { gMol: 252.065, chromium: 2 },
};

/** Mol of Cr(VI) per litre of reagent; volumes are taken as additive. Throws RangeError for a salt it does not know. */
export function reagentChromiumMolL(reagent: Scenario['chemistry']['reagent']): number {
  const salt = salts[reagent.salt];
  if (salt === undefined) throw new RangeError(`salt ${reagent.salt}: one of ${Object.keys(salts).join(', ')}`);
  return ((reagent.saltG / salt.gMol) * salt.chromium * 1000) / (reagent.waterMl + reagent.acidMl);
}

/** Mol of Cr(VI) put into one vial. */
export function chromiumMolPerVial(chemistry: Scenario['chemistry']): number {
  return (reagentChromiumMolL(chemistry.reagent) * chemistry.reagentMl) / 1000;
}

/** State of a liquid: everything its colour depends on. */
export interface LiquidState {
  readonly extent: number;
  /** All chromium, mol/L. */
  readonly chromiumMolL: number;
  /** Seconds since dosing, for ageing. */
  readonly ageS: number;
  /** Absorbance per cm of turbidity at 500 nm. */
  readonly turbidity: number;
}

/** Absorbance per cm on the wavelength grid for any state; the spectra are prepared once. */
export function liquidOptics(chemistry: Scenario['chemistry']): (state: LiquidState) => Float64Array {
  const chromate = epsilonOf(chromateBands, chemistry.chromate);
  const hexaaqua = epsilonOf(hexaaquaBands, chemistry.chromium);
  const sulfato = epsilonOf(sulfatoBands, chemistry.chromium);
  const intermediate = chemistry.intermediate === null ? null : epsilonOf([chemistry.intermediate], {});
  // Fine particles scatter short waves more; the square is between coarse (0) and Rayleigh (4). Chosen.
  const turbidityShape = onGrid((nm) => (500 / nm) ** 2);
  return ({ extent, chromiumMolL, ageS, turbidity }) => {
    const { start, end, timeS } = chemistry.sulfato;
    const share = start + (end - start) * -Math.expm1(-ageS / timeS);
    const made = chromiumMolL * extent;
    const absorbers = [
      { epsilon: chromate, concentrationMolL: chromiumMolL - made },
      { epsilon: hexaaqua, concentrationMolL: made * (1 - share) },
      { epsilon: sulfato, concentrationMolL: made * share },
      { epsilon: turbidityShape, concentrationMolL: turbidity },
    ];
    if (intermediate !== null) absorbers.push({ epsilon: intermediate, concentrationMolL: made * (1 - extent) });
    return absorbancePerCm(absorbers);
  };
}

const epsilonOf = (bands: readonly Band[], change: BandChange): Float64Array =>
  spectrumOnGrid(
    bandSpectrum(
      changeBands(
        bands,
        bands.map(() => change),
      ),
    ),
  );

/** Transmittance of one liquid along several paths (cm). */
export function transmittances(perCm: Float64Array, pathsCm: ArrayLike<number>): readonly Float64Array[] {
  return Array.from(pathsCm, (path) => layerTransmittance(perCm, path));
}
