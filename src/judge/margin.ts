import { UserError } from '../errors.ts';
import type { VialAmounts } from '../model/dose-facts.ts';
import type { Run } from '../model/run.ts';
import { numberText } from './text.ts';

/** Electrons of a secondary alcohol: the impurity that shows least, so the margin it gives is the strictest. */
const fewestElectrons = 2;

export interface MarginExtent {
  readonly value: number;
  readonly assumption: string | null;
}

/**
 * The margin in extent. Given in mol % of sample it is what that much of a two-electron impurity (a secondary alcohol) turns,
 * in the sample vial where that is least. Throws UserError when the dose does not tell the amounts.
 */
export function marginExtent(
  run: Run,
  amounts: readonly VialAmounts[],
  electronsPerReagent: number | null,
): MarginExtent {
  if (run.margin.unit === 'extent') return { value: run.margin.value, assumption: null };
  const perPercent = amounts.flatMap(({ reagentMol, sampleMol }, i) =>
    run.vials[i]?.role !== 'sample' || reagentMol === null || sampleMol === null || electronsPerReagent === null
      ? []
      : [(0.01 * sampleMol.value * fewestElectrons) / (reagentMol.value * electronsPerReagent)],
  );
  const samples = run.vials.filter((vial) => vial.role === 'sample').length;
  if (perPercent.length === 0 || perPercent.length < samples) {
    throw new UserError({
      code: 'margin-needs-dose',
      message: 'margin_mol_percent can only be used where the amounts in every sample vial are known',
      file: run.file,
      key: 'margin_mol_percent',
      expected: 'dose with the reagent recipe and sample amount, and density_g_ml and molar_mass_g_mol of every sample',
      got: `amounts known for ${perPercent.length} of ${samples} sample vials`,
      hint: 'complete the dose, or give the margin in extent: margin: 0.05',
    });
  }
  const value = run.margin.value * Math.min(...perPercent);
  return {
    value,
    assumption: `The margin of ${numberText(run.margin.value)} mol % was turned into ${numberText(value)} in extent as a two-electron impurity (a secondary alcohol); a four-electron one (a primary alcohol) shows twice as much.`,
  };
}
