import { z } from 'zod';
import {
  estimateSchema,
  inputSchema,
  intervalSchema,
  modelSchema,
  rateSchema,
  ratioSchema,
  timeSchema,
} from './result-parts.ts';
import { matchSchema } from './result-match.ts';
import { roles } from './vial.ts';

const text = z.string();
const number = z.number().nullable();
const role = z.enum(roles);
const expectation = z.enum(['resists', 'reacts']);

const madeSchema = z.strictObject({ version: text, at: text, inputs: z.array(inputSchema), decoder: text });

const runSchema = z.strictObject({
  name: text,
  reaction: text,
  duration_s: z.number(),
  read_at_s: z.number(),
  read_at_declared: z.boolean(),
  alpha: z.number(),
  margin: z.number(),
  glance: z.boolean(),
  assumptions: z.array(text),
  record: z.record(text, text),
  frames: z.strictObject({
    read: z.int(),
    used: z.int(),
    rejected: z.array(z.strictObject({ index: z.int(), reason: text })),
  }),
  path: z.strictObject({
    pins: z.array(text),
    source: z.enum(['fitted', 'saved']),
    residual: number,
    extent_error: number,
  }),
  between_vial_sd: z.strictObject({ value: z.number(), df: z.number(), source: text }).nullable(),
});

const fitSchema = z.strictObject({
  model: modelSchema.nullable(),
  reason: text.nullable(),
  rate_constant: rateSchema.nullable(),
  amplitude: estimateSchema.nullable(),
  induction_s: estimateSchema.nullable(),
  background_rate: estimateSchema.nullable(),
  initial_rate: estimateSchema.nullable(),
  at_reference_temperature: z
    .strictObject({
      reference_c: z.number(),
      measured_c: z.number(),
      activation_energy_kj_mol: z.strictObject({ value: z.number(), u: z.number() }),
      rate_constant: rateSchema.nullable(),
      initial_rate: estimateSchema.nullable(),
    })
    .nullable()
    .optional(),
  half_time_s: timeSchema.nullable(),
  residual_sd: number,
  aicc: number,
  candidates: z.array(z.strictObject({ model: modelSchema, aicc: number, weight: number })),
});

const vialSchema = z.strictObject({
  region: text,
  label: text,
  role,
  group: text.nullable(),
  added_run_s: number,
  hue: z.strictObject({ first_deg: number, last_deg: number, span_deg: number }),
  extent: z.strictObject({ at_read: estimateSchema.nullable(), last: estimateSchema.nullable() }),
  onset_s: timeSchema.nullable(),
  fit: fitSchema,
  flags: z.array(z.strictObject({ code: text, message: text, from_run_s: number, to_run_s: number })),
});

const sampleSchema = z.strictObject({
  group: text.nullable(),
  label: text,
  regions: z.array(text),
  expect: expectation.nullable(),
  outcome: z.enum(['reacted', 'resisted', 'undecided']),
  as_expected: z.boolean().nullable(),
  reason: text,
  extent_difference: estimateSchema.nullable(),
  bound: z.strictObject({ side: z.enum(['lower', 'upper']), value: z.number(), alpha: z.number() }).nullable(),
  within_margin: z.boolean().nullable(),
  against: z.array(
    z.strictObject({
      reference: text,
      rate_ratio: ratioSchema.nullable(),
      rate_basis: z.enum(['rate constant', 'initial rate', 'initial rate per mole']).nullable().optional(),
      half_time_ratio: ratioSchema.nullable(),
      reason: text.nullable().optional(),
    }),
  ),
  level: z
    .strictObject({
      value: number,
      ci95: intervalSchema,
      limit: number,
      as: text,
      electrons: z.array(z.number()).nullable(),
      basis: z.enum(['standards', 'electrons']),
      only_more_than: z.boolean(),
    })
    .nullable(),
});

/** `result.json`: what `analyse` found, for other programs. Null is not estimable. */
export const resultSchema = z.strictObject({
  schema: z.literal('vialapse/result@1'),
  made: madeSchema,
  run: runSchema,
  vials: z.array(vialSchema),
  samples: z.array(sampleSchema),
  references: z.array(z.strictObject({ region: text, role, as_expected: z.boolean().nullable(), reason: text })),
  reading_window: z.strictObject({ from_s: z.number(), to_s: z.number(), exploratory: z.literal(true) }).nullable(),
  match: matchSchema.optional(),
  checks: z.array(z.strictObject({ code: text, status: z.enum(['pass', 'warn', 'fail']), message: text })),
});
