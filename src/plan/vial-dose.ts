import { exhaustingMolPercent } from '../reaction/stoichiometry.ts';
import type { Bench, Material } from './bench.ts';
import type { ReagentFacts } from './recipe.ts';
import { electronsOf, findSubstance, type SubstanceClass } from './substances.ts';

/** Chromium(VI) to chromium(III). */
export const electronsPerChromium = 3;
/**
 * Acid and salt make organic liquids less soluble than pure water does: above this share of the solubility in water one
 * layer is not promised. Chosen.
 */
const nearlySoluble = 0.8;

export interface DosedMaterial {
  readonly material: Material;
  readonly kind: SubstanceClass | null;
  readonly boilsC: number | null;
  readonly freezesC: number | null;
  readonly densityGMl: number | null;
  readonly molarMassGMol: number | null;
  readonly sampleMl: number | null;
  readonly sampleG: number | null;
  readonly sampleMol: number | null;
  /** Mass share of the sample in the vial's liquid, %. */
  readonly massPercent: number | null;
  readonly solublePercent: number | null;
  readonly layers: 'one' | 'doubtful' | 'two' | 'unknown';
  /** mol % of the plan's impurity in this sample that uses up all Cr(VI); `null` where the amounts do not tell. */
  readonly exhaustingMolPercent: number | null;
  /** How the amount is measured out, for the pipetting table. */
  readonly pipetting: string;
  readonly working: string | null;
}

/** What one vial of a material holds. */
export function doseMaterial(material: Material, bench: Bench, reagent: ReagentFacts): DosedMaterial {
  const known = material.substance === undefined ? null : findSubstance(material.substance);
  const density = material.densityGMl ?? known?.densityGMl ?? null;
  const molarMass = material.molarMassGMol ?? known?.molarMassGMol ?? null;
  const soluble = material.solublePercent ?? known?.solublePercent ?? null;
  const { grams, ml, pipetting } = amountOf(material, density);
  const mol = grams === null || molarMass === null ? null : grams / molarMass;
  const massPercent = grams === null ? null : (100 * grams) / (grams + bench.reagentMl * reagent.densityGMl);
  const electrons = impurityElectrons(bench);
  const exhausting =
    mol === null || mol === 0 || electrons === null || electrons === 0
      ? null
      : exhaustingMolPercent(reagent.chromiumMolPerVial, electronsPerChromium, mol, electrons);
  return {
    material,
    kind: material.kind ?? known?.kind ?? null,
    boilsC: material.boilsC ?? known?.boilsC ?? null,
    freezesC: known?.freezesC ?? null,
    densityGMl: density,
    molarMassGMol: molarMass,
    sampleMl: ml,
    sampleG: grams,
    sampleMol: mol,
    massPercent,
    solublePercent: soluble,
    layers: layersOf(massPercent, soluble),
    exhaustingMolPercent: exhausting,
    pipetting,
    working:
      mol === null
        ? null
        : `${(grams! * 1000).toFixed(1)} mg / ${molarMass!.toFixed(2)} g/mol = ${(mol * 1e6).toFixed(0)} µmol`,
  };
}

/** Electrons of the impurity that must not be missed; `null` where it is neither in the table nor told. */
export function impurityElectrons({ level }: Bench): number | null {
  if (level.electrons !== undefined) return level.electrons;
  const known = findSubstance(level.impurity);
  return known === null ? null : electronsOf(known.kind);
}

/** A drop is what the balance says: tert-butanol's is about a third of water's. */
function amountOf(
  material: Material,
  density: number | null,
): { readonly grams: number | null; readonly ml: number | null; readonly pipetting: string } {
  const { drops, dropMg, sampleG, sampleMl } = material;
  const volume = (grams: number): number | null => (density === null ? null : grams / density);
  if (sampleG !== undefined) return { grams: sampleG, ml: volume(sampleG), pipetting: `${tidy(sampleG * 1000)} mg` };
  if (drops !== undefined && dropMg !== undefined) {
    const grams = (drops * dropMg) / 1000;
    return {
      grams,
      ml: volume(grams),
      pipetting: `${drops} ${drops === 1 ? 'drop' : 'drops'} (${tidy(drops * dropMg)} mg)`,
    };
  }
  if (sampleMl !== undefined) {
    return {
      grams: density === null ? null : sampleMl * density,
      ml: sampleMl,
      pipetting: `${tidy(sampleMl * 1000)} µL`,
    };
  }
  return { grams: null, ml: null, pipetting: '–' };
}

const tidy = (value: number): string => String(Number(value.toPrecision(3)));

function layersOf(massPercent: number | null, soluble: number | null): DosedMaterial['layers'] {
  if (soluble !== null && soluble >= 100) return 'one';
  if (massPercent === null || soluble === null) return 'unknown';
  if (massPercent > soluble) return 'two';
  return massPercent > nearlySoluble * soluble ? 'doubtful' : 'one';
}
