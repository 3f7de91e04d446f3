import type { VialAmounts } from '../model/dose-facts.ts';
import type { Dose, Quantity, Run, Vial } from '../model/run.ts';
import { chromiumPerFormula, molarMassGMol } from './stoichiometry.ts';

/**
 * Moles of reagent and of sample in every vial, in the order of the run file; `null` where the run file does not tell.
 * The reagent's volume is taken as water + acid: the salt's own volume and the contraction on mixing (a few per cent)
 * are left out. Uncertainties are combined as independent (GUM, relative variances of products add); quantities without
 * a stated uncertainty count as exact, and the result's is `null` when none was stated.
 */
export function amountsOf(run: Run): VialAmounts[] {
  const reagentMol = run.dose === null ? null : reagentAmount(run.dose);
  return run.vials.map((vial) => ({
    region: vial.region,
    reagentMol: vial.role === 'mixture' ? null : reagentMol,
    sampleMol: vial.role === 'blank' || vial.role === 'mixture' ? null : sampleAmount(vial, run.dose),
  }));
}

/** Cr(VI) in the reagent volume of one vial, mol. `null` for a salt without chromium or an unreadable formula. */
export function reagentAmount(dose: Dose): Quantity | null {
  const { salt, saltG, waterMl, acidMl } = dose.reagent;
  const molarMass = molarMassGMol(salt);
  const chromium = chromiumPerFormula(salt);
  if (molarMass === null || chromium === null) return null;
  const total = add(waterMl, acidMl);
  return product(chromium / molarMass, [saltG, dose.reagentMl], [total]);
}

/** Sample in one vial, mol: g / M, or mL x density / M; the vial's own amount goes before the dose's. */
export function sampleAmount(vial: Vial, dose: Dose | null): Quantity | null {
  const { densityGMl, molarMassGMol: molarMass } = vial;
  if (molarMass === null) return null;
  const own = vial.sampleG !== null || vial.sampleMl !== null;
  const grams = own ? vial.sampleG : (dose?.sampleG ?? null);
  const millilitres = own ? vial.sampleMl : (dose?.sampleMl ?? null);
  if (grams !== null) return product(1, [grams], [molarMass]);
  if (millilitres !== null && densityGMl !== null) return product(1, [millilitres, densityGMl], [molarMass]);
  return null;
}

function add(first: Quantity, second: Quantity): Quantity {
  const stated = first.u !== null || second.u !== null;
  return { value: first.value + second.value, u: stated ? Math.hypot(first.u ?? 0, second.u ?? 0) : null };
}

/** factor x numerators / denominators; `null` when a denominator is zero. */
function product(factor: number, above: readonly Quantity[], below: readonly Quantity[]): Quantity | null {
  if (below.some((quantity) => quantity.value === 0)) return null;
  const value = below.reduce(
    (result, quantity) => result / quantity.value,
    above.reduce((result, quantity) => result * quantity.value, factor),
  );
  const all = [...above, ...below];
  if (all.every((quantity) => quantity.u === null)) return { value, u: null };
  // Written out by partial derivatives so that a zero amount keeps its uncertainty.
  const variance = all.reduce((sum, quantity) => {
    if (quantity.u === null) return sum;
    const others = all
      .filter((other) => other !== quantity)
      .reduce((result, other) => (above.includes(other) ? result * other.value : result / other.value), factor);
    const derivative = above.includes(quantity) ? others : others / quantity.value ** 2;
    return sum + (derivative * quantity.u) ** 2;
  }, 0);
  return { value, u: Math.sqrt(variance) };
}

/** Volume a sample adds to a vial, mL, as far as the dose tells; by mass it is left out (a few per cent). */
export function sampleMillilitres(dose: Dose): number | null {
  return dose.sampleMl?.value ?? null;
}
