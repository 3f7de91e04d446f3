import { z } from 'zod';
import { doseSchema } from './dose.ts';
import { intervalSchema, laterSecondsSchema, runSecondsSchema, speedSchema } from './seconds.ts';
import { lineSchema, nameSchema, notesSchema, pathSchema } from './text.ts';
import { vialSchema } from './vial.ts';

const clockSchema = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?$/, { error: 'a local time such as 2026-03-01T18:05:00' });

export const timingKeys = ['interval_s', 'clock', 'speed'] as const;

const timingSchema = z
  .strictObject({
    interval_s: intervalSchema.optional(),
    clock: z.literal('exif').optional(),
    speed: speedSchema.optional(),
    clock_readings: z
      .array(z.strictObject({ camera: clockSchema, actual: clockSchema }))
      .min(1)
      .max(10)
      .optional(),
  })
  .meta({ oneOf: timingKeys.map((key) => ({ required: [key] })) });

const partSchema = z.union(
  [pathSchema, z.strictObject({ file: pathSchema, starts_run_s: runSecondsSchema.optional() })],
  { error: 'a name, or { file: a name, starts_run_s: seconds }' },
);

const sourceSchema = z.union([pathSchema, z.array(partSchema).min(1).max(1000)], {
  error: 'a film, a folder, a pattern, or a list of them',
});

/** `run.yaml`: one rack followed over time. */
export const runSchema = z.strictObject({
  schema: z.literal('vialapse/run@1'),
  name: nameSchema,
  rig: pathSchema,
  source: sourceSchema,
  timing: timingSchema,
  reaction: pathSchema,
  read_at_s: laterSecondsSchema.optional(),
  alpha: z.number().positive().max(0.5).optional(),
  margin: z.number().gt(0).lt(1).optional(),
  margin_mol_percent: z.number().gt(0).lt(100).optional(),
  transfer: z.enum(['srgb', 'tagged', 'bt709']).optional(),
  path: pathSchema.optional(),
  plan: pathSchema.optional(),
  temperature: pathSchema.optional(),
  events: z
    .array(z.strictObject({ at_run_s: runSecondsSchema, what: lineSchema, region: nameSchema.optional() }))
    .max(1000)
    .optional(),
  record: z.record(nameSchema, notesSchema.nullable()).optional(),
  dose: doseSchema.optional(),
  vials: z.array(vialSchema).min(1).max(500),
});

export type RunFile = z.infer<typeof runSchema>;
