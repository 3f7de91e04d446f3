import { z } from 'zod';
import { inputSchema } from './result-parts.ts';

const text = z.string();
const number = z.number().nullable();
/** One value a used frame; null is unknown in that frame. */
const column = z.array(number);
const severity = z.enum(['info', 'warn', 'fail']);

const sourceSchema = z.strictObject({
  kind: z.enum(['video', 'stills']),
  width: z.int(),
  height: z.int(),
  frameCount: z.int().nullable(),
  durationS: number,
  codec: text,
  bitDepth: z.int(),
  chromaSubsampled: z.boolean(),
  transferTag: text.nullable(),
  conversion: text.nullable(),
  decoder: text,
  notes: z.array(z.strictObject({ code: text, severity: z.enum(['info', 'warn']), message: text })),
  inputs: z.array(inputSchema),
});

const regionColoursSchema = z.strictObject({
  id: text,
  kind: z.enum(['vial', 'white']),
  red: column,
  green: column,
  blue: column,
  redSe: column,
  greenSe: column,
  blueSe: column,
  redClipped: column,
  greenClipped: column,
  blueClipped: column,
  leftOut: column,
  samples: column,
  halvesDeltaE: column,
  texture: column,
  meniscusY: column,
});

/** The record between the slow half and the quick half: `.vialapse/<key>/measurement.bin`. */
export const measurementSchema = z.strictObject({
  schema: z.literal('vialapse/measurement@1'),
  source: sourceSchema,
  glance: z.boolean(),
  frames: z.strictObject({ index: z.array(z.int()), timeRunS: z.array(z.number()) }),
  framesRead: z.int(),
  rejected: z.array(z.strictObject({ index: z.int(), timeRunS: number, reason: text })),
  vials: z.array(regionColoursSchema),
  patches: z.array(regionColoursSchema),
  motion: z.strictObject({ dx: column, dy: column, rotation: column, scale: column }),
  light: z.strictObject({
    basis: z.enum(['patches', 'background', 'none']),
    redGain: column,
    greenGain: column,
    blueGain: column,
    gainSe: column,
    driftRange: number,
    unevenness: number.optional(),
    uncorrectedUnevenness: number.optional(),
    settings: z.enum(['locked', 'automatic', 'unknown']).optional(),
  }),
  notes: z.array(
    z.strictObject({ code: text, severity, message: text, fromRunS: number, toRunS: number, region: text.nullable() }),
  ),
  chart: z
    .strictObject({
      applied: z.boolean(),
      reason: text.nullable(),
      used: z.int(),
      patches: z.int(),
      leftOut: z.array(z.strictObject({ patch: text, reason: text })),
      curves: z.enum(['none', 'common', 'per-channel']),
      illuminant: text,
      illuminantStated: z.boolean(),
      meanDeltaE: number,
      maxDeltaE: number,
      leftOutMeanDeltaE: number,
      uncorrectedMeanDeltaE: number,
    })
    .nullable()
    .optional(),
  backdrop: z
    .strictObject({
      tiltX: z.number(),
      tiltY: z.number(),
      fallOff: z.number(),
      residual: z.number(),
      pieces: z.int(),
    })
    .nullable()
    .optional(),
  stills: z.array(
    z.strictObject({
      frame: z.int(),
      timeRunS: z.number(),
      width: z.int(),
      height: z.int(),
      jpegBase64: text,
      shift: z.strictObject({ dx: z.number(), dy: z.number(), rotation: z.number(), scale: z.number() }).optional(),
    }),
  ),
});
