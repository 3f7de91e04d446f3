import { z } from 'zod';

const known = z.number().nullable();

/** `plan.json`: what a planned run should show; written by `vialapse plan`, read back after the run. */
export const planSchema = z.strictObject({
  schema: z.literal('vialapse/plan@1'),
  name: z.string(),
  seed: z.string(),
  read_at_s: z.number(),
  margin: z.number(),
  alpha: z.number(),
  between_vial_sd: z
    .strictObject({ value: z.number().positive(), df: z.number().positive(), source: z.string() })
    .nullable(),
  path_error: known,
  detectable: z.strictObject({ extent: z.number(), mol_percent: known, impurity: z.string() }).nullable(),
  chance_of_resisted: known,
  vials: z.array(
    z.strictObject({
      region: z.string(),
      code: z.string(),
      name: z.string(),
      role: z.string(),
      half_time_s: z.strictObject({ low: z.number(), value: z.number(), high: z.number() }).nullable(),
    }),
  ),
});

export type PlanFile = z.infer<typeof planSchema>;
