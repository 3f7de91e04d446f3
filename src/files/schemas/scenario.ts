import { z } from 'zod';
import { lineSchema, nameSchema } from './text.ts';
import { roles } from './vial.ts';

const positive = z.number().positive();
const share = z.number().min(0).max(1);
const rate = z.number().nonnegative();
const time = z.number().nonnegative();
const amplitude = share.optional();
const triple = z.tuple([positive.max(1.3), positive.max(1.3), positive.max(1.3)]);
const matrixRow = z.tuple([z.number(), z.number(), z.number()]);
const hexColour = z.string().regex(/^#[0-9a-fA-F]{6}$/, { error: 'a colour such as #2f8f4e' });
/** Standard deviation, relative: above a quarter nothing looks like a rack of vials. */
const spread = z.number().min(0).max(0.25).optional();

const kineticsSchema = z.discriminatedUnion('model', [
  z.strictObject({ model: z.literal('none') }),
  z.strictObject({ model: z.literal('constant'), extent: share }),
  z.strictObject({ model: z.literal('zero-order'), rate }),
  z.strictObject({ model: z.literal('first-order'), k: rate, amplitude, background: rate.optional() }),
  z.strictObject({ model: z.literal('first-order-induction'), k: rate, amplitude, induction_s: time }),
  z.strictObject({ model: z.literal('burst-background'), k: rate, amplitude, background: rate.optional() }),
  z.strictObject({ model: z.literal('consecutive'), k1: positive, k2: positive, amplitude }),
  z.strictObject({ model: z.literal('sigmoid'), k: positive, amplitude, middle_s: time }),
  z.strictObject({ model: z.literal('second-order'), k: rate, amplitude }),
  z.strictObject({ model: z.literal('colours'), from: hexColour, to: hexColour, k: rate }),
]);

const vialSchema = z.strictObject({
  label: lineSchema,
  role: z.enum(roles),
  kinetics: kineticsSchema,
  added_run_s: z.number().optional(),
  expect: z.enum(['resists', 'reacts']).optional(),
  group: lineSchema.optional(),
  level_mol_percent: z.number().min(0).max(100).optional(),
  identity: lineSchema.optional(),
  sample_ml: time.optional(),
  density_g_ml: positive.optional(),
  molar_mass_g_mol: positive.optional(),
  layer: z.strictObject({ upper_share: share, upper_strength: share }).optional(),
  precipitate: z.strictObject({ from_s: time, absorbance_per_cm: time }).optional(),
  evaporation_cm_h: time.optional(),
  moved: z.strictObject({ at_run_s: time, brightness: z.number().min(0.3).max(1.3), down_cm: time.max(2) }).optional(),
});

const lampSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('led'),
    preset: z.enum(['warm', 'neutral']).optional(),
    blue_peak_nm: positive.optional(),
    blue_width_nm: positive.optional(),
    phosphor_peak_nm: positive.optional(),
    phosphor_width_nm: positive.optional(),
    blue_height: positive.optional(),
  }),
  z.strictObject({ kind: z.literal('blackbody'), kelvin: z.number().min(1000).max(40_000) }),
  z.strictObject({ kind: z.literal('daylight') }),
]);

const sensitivityBand = z.strictObject({ peak_nm: positive, width_nm: positive }).optional();
const cameraSchema = z.strictObject({
  preset: z.enum(['standard', 'narrow', 'broad']).optional(),
  shape: z
    .strictObject({
      red: sensitivityBand,
      green: sensitivityBand,
      blue: sensitivityBand,
      leak: z.number().min(0).max(0.2).optional(),
      infrared_cut_nm: positive.optional(),
    })
    .optional(),
  matrix: z.union([z.enum(['lamp', 'daylight']), z.tuple([matrixRow, matrixRow, matrixRow])]).optional(),
  exposure: z.number().min(0.01).max(1.3).optional(),
  white_balance: triple.optional(),
  vignetting: z.number().min(0).max(0.9).optional(),
  flare: z.number().min(0).max(0.2).optional(),
  read_noise: z.number().min(0).max(0.02).optional(),
  shot_noise: z.number().min(0).max(0.001).optional(),
  tone: share.optional(),
  tone_gamma: z.number().min(0.4).max(2.5).optional(),
});

const bandChange = z
  .strictObject({
    shift_nm: z.number().min(-40).max(40).optional(),
    width_factor: z.number().min(0.5).max(1.5).optional(),
    height_factor: z.number().min(0.1).max(10).optional(),
  })
  .optional();
const chemistrySchema = z.strictObject({
  reagent: z
    .strictObject({
      salt: z.enum(['K2Cr2O7', 'Na2Cr2O7.2H2O', '(NH4)2Cr2O7']).optional(),
      salt_g: positive.optional(),
      water_ml: positive.optional(),
      acid_ml: time.optional(),
      acid_percent: z.number().min(0).max(100).optional(),
    })
    .optional(),
  reagent_ml: positive.optional(),
  sample_ml: time.optional(),
  density_g_ml: positive.optional(),
  molar_mass_g_mol: positive.optional(),
  chromate: bandChange,
  chromium: bandChange,
  sulfato: z.strictObject({ start: share.optional(), end: share.optional(), time_s: positive.optional() }).optional(),
  intermediate: z.strictObject({ centre_nm: positive, width_nm: positive, epsilon: time }).optional(),
});

/** `vialapse/scenario@1`: a run to be made by the forward model. Everything but name and vials has a default. */
export const scenarioSchema = z.strictObject({
  schema: z.literal('vialapse/scenario@1'),
  name: nameSchema,
  /** The bench file that the run was planned with, relative to this file: named in run.yaml, for the comparison. */
  plan: lineSchema.optional(),
  seed: z.union([z.string().max(100), z.number()]).optional(),
  frame: z.strictObject({ width: z.int().min(64).max(8192), height: z.int().min(64).max(8192) }).optional(),
  frame_count: z.int().min(1).max(100_000).optional(),
  interval_s: positive.optional(),
  media: z
    .strictObject({
      kind: z.enum(['h264', 'jpeg', 'png']).optional(),
      crf: z.int().min(0).max(51).optional(),
      frames_per_second: positive.max(240).optional(),
      quality: z.int().min(1).max(100).optional(),
      started_at: z.iso.datetime({ local: true, offset: false }).optional(),
    })
    .optional(),
  reading: z
    .strictObject({
      read_at_s: positive.optional(),
      margin: z.number().gt(0).lt(1).optional(),
      alpha: z.number().gt(0).max(0.5).optional(),
    })
    .optional(),
  lamp: lampSchema.optional(),
  light: z
    .strictObject({
      drift: z.number().min(-0.25).max(0.25).optional(),
      colour_drift: z.number().min(-0.25).max(0.25).optional(),
      flicker: z.number().min(0).max(0.05).optional(),
    })
    .optional(),
  camera: cameraSchema.optional(),
  chemistry: chemistrySchema.optional(),
  rack: z
    .strictObject({
      rows: z.int().min(1).max(26).optional(),
      columns: z.int().min(1).max(50).optional(),
      inner_diameter_cm: positive.max(10).optional(),
      wall_cm: positive.max(1).optional(),
      height_cm: positive.max(30).optional(),
      glare: z.number().min(0).max(2).optional(),
      texture: z.number().min(0).max(0.2).optional(),
      patches: z.boolean().optional(),
      chart: z.boolean().optional(),
    })
    .optional(),
  spread: z.strictObject({ brightness: spread, path: spread, rate: spread }).optional(),
  disturbances: z
    .strictObject({
      moves: z
        .array(
          z.strictObject({
            at_run_s: time,
            dx: z.number(),
            dy: z.number(),
            rotation_deg: z.number().min(-5).max(5).optional(),
            scale: z.number().min(0.9).max(1.1).optional(),
          }),
        )
        .optional(),
      gain_steps: z.array(z.strictObject({ at_run_s: time, gains: triple })).optional(),
      blocked: z.array(z.strictObject({ from_run_s: time, to_run_s: time })).optional(),
    })
    .optional(),
  vials: z.array(vialSchema).min(1).max(500),
});

export type ScenarioFile = z.infer<typeof scenarioSchema>;
