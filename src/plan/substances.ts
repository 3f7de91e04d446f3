import { electronsOfAlcohol, molarMassGMol } from '../reaction/stoichiometry.ts';

export type SubstanceClass = 'primary' | 'secondary' | 'tertiary' | 'ketone' | 'ester' | 'aldehyde' | 'inert';

export interface Substance {
  readonly name: string;
  readonly kind: SubstanceClass;
  /** From the formula with IUPAC standard atomic weights. */
  readonly molarMassGMol: number;
  /** Near 20-25 C. */
  readonly densityGMl: number;
  readonly boilsC: number;
  /** In water near 25 C, % w/w; 100: miscible. */
  readonly solublePercent: number;
  /** Where it stands solid in a cool room, C. */
  readonly freezesC: number | null;
}

const of = (
  name: string,
  kind: SubstanceClass,
  formula: string,
  densityGMl: number,
  boilsC: number,
  solublePercent: number,
  freezesC: number | null = null,
): Substance => ({ name, kind, molarMassGMol: molarMassGMol(formula)!, densityGMl, boilsC, solublePercent, freezesC });

/**
 * Liquids a bench file may name. Solubilities of 1-butanol and 2-butanol: IUPAC-NIST solubility data series; all other
 * densities, boiling points and solubilities are textbook values written from memory, to be overridden in the bench file.
 */
const substances: readonly Substance[] = [
  of('water', 'inert', 'H2O', 0.998, 100, 100),
  of('acetic acid', 'inert', 'C2H4O2', 1.049, 118, 100, 16.6),
  of('methanol', 'primary', 'CH4O', 0.791, 65, 100),
  of('ethanol', 'primary', 'C2H6O', 0.789, 78, 100),
  of('1-propanol', 'primary', 'C3H8O', 0.803, 97, 100),
  of('2-propanol', 'secondary', 'C3H8O', 0.785, 82, 100),
  of('1-butanol', 'primary', 'C4H10O', 0.81, 117.7, 7.4),
  of('2-butanol', 'secondary', 'C4H10O', 0.806, 99.5, 15),
  of('isobutanol', 'primary', 'C4H10O', 0.802, 108, 8.5),
  of('tert-butanol', 'tertiary', 'C4H10O', 0.78, 82.4, 100, 25.5),
  of('acetone', 'ketone', 'C3H6O', 0.79, 56, 100),
  of('butanone', 'ketone', 'C4H8O', 0.805, 79.6, 25),
  of('ethyl acetate', 'ester', 'C4H8O2', 0.9, 77.1, 8),
  of('acetaldehyde', 'aldehyde', 'C2H4O', 0.78, 20.2, 100),
];

/** By name, letter case aside; `null` for one that is not in the table. */
export function findSubstance(name: string): Substance | null {
  const wanted = name.trim().toLowerCase();
  return substances.find((one) => one.name === wanted) ?? null;
}

/** Electrons one molecule gives to acid dichromate; 0 where it resists. An aldehyde goes to the acid (2); an ester first splits. */
export function electronsOf(kind: SubstanceClass): number {
  if (kind === 'primary' || kind === 'secondary') return electronsOfAlcohol[kind];
  return kind === 'aldehyde' ? 2 : 0;
}

/** Whether it turns the reagent within an hour or two. */
export const isReducer = (kind: SubstanceClass): boolean => electronsOf(kind) > 0;
