import { createScenario, type Scenario } from '../../src/simulate/index.ts';

/** Cr(VI) to Cr(III). */
export const electronsPerChromium = 3;

/** tert-Butanol: density at 26 °C and molar mass as in the project's table of substances. */
export const sampleSubstance = { densityGMl: 0.78, molarMassGMol: 74.12 } as const;

/** Amounts of every rack of the study: the forward model's own recipe and doses. */
export function scenarioChemistry(): Scenario['chemistry'] {
  return createScenario({ name: 'amounts', vials: [], chemistry: sampleSubstance, rack: { rows: 1, columns: 1 } })
    .chemistry;
}
