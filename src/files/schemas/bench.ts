import { z } from 'zod';
import { doseSchema } from './dose.ts';
import { lineSchema, nameSchema } from './text.ts';

const positive = z.number().positive();
const side = z.int().min(64).max(16384);

const planRoles = ['blank', 'positive', 'negative', 'standard', 'sample'] as const;

/** One liquid on the bench and the vials it fills. */
const materialSchema = z.strictObject({
  name: lineSchema.max(60),
  role: z.enum(planRoles),
  vials: z.int().min(1).max(50).optional(),
  substance: lineSchema.optional(),
  kind: z.enum(['primary', 'secondary', 'tertiary', 'ketone', 'ester', 'aldehyde', 'inert']).optional(),
  density_g_ml: positive.max(5).optional(),
  molar_mass_g_mol: positive.max(2000).optional(),
  soluble_percent: z.number().min(0).max(100).optional(),
  boils_c: z.number().min(-100).max(500).optional(),
  drops: z.int().min(1).max(200).optional(),
  drop_mg: positive.max(200).optional(),
  sample_ml: positive.max(100).optional(),
  sample_g: positive.max(100).optional(),
  half_time_min: positive.max(100_000).optional(),
  expect: z.enum(['resists', 'reacts']).optional(),
  level_mol_percent: z.number().min(0).max(100).optional(),
});

/** `bench.yaml`, `vialapse/bench@1`: what is at hand before a run; `vialapse plan` reads it. */
export const benchSchema = z.strictObject({
  schema: z.literal('vialapse/bench@1'),
  name: nameSchema.max(80),
  reagent: doseSchema.shape.reagent,
  reagent_ml: positive.max(100),
  materials: z.array(materialSchema).min(1).max(100),
  rack: z.strictObject({ rows: z.int().min(1).max(26), columns: z.int().min(1).max(50) }),
  temperature_c: z.number().min(-10).max(100),
  hours: positive.max(1000),
  read_at_h: positive.max(1000).optional(),
  level: z.strictObject({
    mol_percent: positive.max(100),
    impurity: lineSchema,
    electrons: z.int().min(1).max(60).optional(),
  }),
  alpha: positive.max(0.5).optional(),
  margin: z.number().gt(0).lt(1).optional(),
  seed: z.union([z.string().max(100), z.number()]).optional(),
  blind: z.boolean().optional(),
  sealed: z.boolean().optional(),
  dosing_gap_s: positive.max(3600).optional(),
  noise: z
    .strictObject({ between_vial_sd: positive.max(1), df: z.int().min(6).max(100_000), source: lineSchema })
    .optional(),
  camera: z
    .strictObject({ kind: z.enum(['stills', 'film']).optional(), width: side.optional(), height: side.optional() })
    .optional(),
});

export type BenchFile = z.infer<typeof benchSchema>;
