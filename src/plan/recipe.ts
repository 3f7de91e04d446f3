import { interpolate } from '../numeric/interpolate.ts';
import { molarMassGMol } from '../reaction/stoichiometry.ts';
import { reagentAmount } from '../reaction/amounts.ts';
import type { Quantity } from '../model/run.ts';
import type { Recipe } from './bench.ts';

/**
 * Density of sulfuric acid in water at 20 C, g/mL against % w/w: handbook values written from memory; between entries
 * straight lines, which err by less than 0.3 %.
 */
const densityTable: readonly (readonly [number, number])[] = [
  [0, 0.998],
  [10, 1.066],
  [20, 1.139],
  [30, 1.218],
  [40, 1.303],
  [50, 1.395],
  [60, 1.498],
  [70, 1.611],
  [80, 1.727],
  [90, 1.814],
  [94, 1.831],
  [96, 1.836],
  [98, 1.836],
  [100, 1.831],
];

/** Density of sulfuric acid of a strength in % w/w (0..100) at 20 C, g/mL. */
export function sulfuricAcidDensity(percent: number): number {
  return interpolate(
    densityTable.map(([at]) => at),
    densityTable.map(([, density]) => density),
    percent,
  );
}

/** What the bottle of reagent holds. Volumes are taken as additive. */
export interface ReagentFacts {
  readonly chromiumMolL: number;
  readonly acidMolL: number;
  readonly densityGMl: number;
  /** Cr(VI) in one vial, mol. */
  readonly chromiumMolPerVial: number;
  readonly working: readonly string[];
}

/** Throws RangeError for a salt without chromium or an unreadable formula. */
export function reagentFacts(recipe: Recipe, reagentMl: number): ReagentFacts {
  const exact = (value: number): Quantity => ({ value, u: null });
  const amount = reagentAmount({
    reagent: {
      salt: recipe.salt,
      saltG: exact(recipe.saltG),
      waterMl: exact(recipe.waterMl),
      acidMl: exact(recipe.acidMl),
      acidPercent: exact(recipe.acidPercent),
    },
    reagentMl: exact(reagentMl),
    sampleMl: null,
    sampleG: null,
  });
  const saltGMol = molarMassGMol(recipe.salt);
  if (amount === null || saltGMol === null) throw new RangeError(`no Cr(VI) salt: ${recipe.salt}`);
  const totalMl = recipe.waterMl + recipe.acidMl;
  const acidDensity = sulfuricAcidDensity(recipe.acidPercent);
  const sulfuricGMol = molarMassGMol('H2SO4')!;
  const acidMol = (recipe.acidMl * acidDensity * recipe.acidPercent) / 100 / sulfuricGMol;
  const acidMolL = (acidMol / totalMl) * 1000;
  const chromiumMolL = (amount.value / reagentMl) * 1000;
  const densityGMl = (recipe.saltG + recipe.waterMl * sulfuricAcidDensity(0) + recipe.acidMl * acidDensity) / totalMl;
  return {
    chromiumMolL,
    acidMolL,
    densityGMl,
    chromiumMolPerVial: amount.value,
    // Molar masses: IUPAC standard atomic weights (reaction/atomic-weights.ts names the table).
    working: [
      `Cr(VI): ${recipe.saltG} g ${recipe.salt} / ${saltGMol.toFixed(3)} g/mol x 2 Cr in ${recipe.waterMl} + ${recipe.acidMl} mL = ${(chromiumMolL * 1000).toFixed(1)} mmol/L`,
      `Acid: ${recipe.acidMl} mL x ${acidDensity.toFixed(3)} g/mL x ${recipe.acidPercent} % / ${sulfuricGMol.toFixed(2)} g/mol in ${totalMl} mL = ${acidMolL.toFixed(2)} mol/L H2SO4`,
      `A vial: ${reagentMl} mL = ${(amount.value * 1e6).toFixed(1)} µmol Cr(VI), x 3 = ${(amount.value * 3e6).toFixed(1)} µeq of electrons`,
      'Molar masses from IUPAC standard atomic weights (2021); density of the acid from a handbook table.',
    ],
  };
}

/** The recipe in the order of making it. */
export const recipeWords = ({ salt, saltG, waterMl, acidMl, acidPercent }: Recipe): string =>
  `${saltG} g ${salt} in ${waterMl} mL water, then slowly ${acidMl} mL sulfuric acid (${acidPercent} %), cooled`;
