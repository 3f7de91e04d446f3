import type { Quantity } from './run.ts';

/** Amounts in one vial, worked out from the dose; `null` where the run file does not tell. */
export interface VialAmounts {
  readonly region: string;
  /** Coloured reagent atoms, mol (Cr(VI): 2 per dichromate). */
  readonly reagentMol: Quantity | null;
  readonly sampleMol: Quantity | null;
}
