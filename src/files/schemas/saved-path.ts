import { z } from 'zod';
import { lineSchema, nameSchema } from './text.ts';

const rgb = z.tuple([z.number(), z.number(), z.number()]);

/** `path.json`: the colour path of one rig and reagent, kept for later runs. */
export const savedPathSchema = z.strictObject({
  schema: z.literal('vialapse/path@1'),
  rig: nameSchema,
  reaction: lineSchema,
  made_from: nameSchema,
  pins: z.array(lineSchema),
  pinned_start: z.boolean(),
  pinned_end: z.boolean(),
  extent: z.array(z.number()).min(2).max(10_000),
  linear_rgb: z.array(rgb).min(2).max(10_000),
  residual: z.number().nonnegative().nullable(),
  extent_error: z.number().nonnegative().nullable(),
  draws: z.array(z.array(z.number())).max(2_000),
});

export type SavedPathFile = z.infer<typeof savedPathSchema>;
