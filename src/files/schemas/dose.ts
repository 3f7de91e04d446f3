import { z } from 'zod';
import { lineSchema } from './text.ts';

const amount = z.number().nonnegative().max(1e6);
const positive = z.number().positive().max(1e6);
/** Standard uncertainty of the value whose name comes before `_u`, in the same unit. */
const uncertainty = z.number().nonnegative().optional();

/** Amount of sample in one vial, by volume or by mass. */
export const sampleAmountShape = {
  sample_ml: amount.optional(),
  sample_ml_u: uncertainty,
  sample_g: amount.optional(),
  sample_g_u: uncertainty,
};

/** What is known of the sample's liquid. */
export const liquidShape = {
  density_g_ml: positive.optional(),
  density_g_ml_u: uncertainty,
  molar_mass_g_mol: positive.optional(),
  molar_mass_g_mol_u: uncertainty,
};

/** Amounts put into each vial. */
export const doseSchema = z.strictObject({
  reagent: z.strictObject({
    salt: lineSchema,
    salt_g: positive,
    salt_g_u: uncertainty,
    water_ml: amount,
    water_ml_u: uncertainty,
    acid_ml: amount,
    acid_ml_u: uncertainty,
    acid_percent: amount.max(100),
    acid_percent_u: uncertainty,
  }),
  reagent_ml: positive,
  reagent_ml_u: uncertainty,
  ...sampleAmountShape,
});

export type DoseFile = z.infer<typeof doseSchema>;
