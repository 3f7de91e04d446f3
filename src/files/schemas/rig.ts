import { z } from 'zod';
import { cornersSchema, regionSchema } from './region.ts';
import { nameSchema, pathSchema } from './text.ts';

/** Largest side of a frame, pixels: 16 K, beyond any camera of the bench. */
const side = z.int().min(8).max(16384);

/** `rig.json`: camera, rack and lighting, fixed for many runs. */
export const rigSchema = z.strictObject({
  schema: z.literal('vialapse/rig@1'),
  name: nameSchema,
  frame: z.strictObject({ width: side, height: side }),
  /** Empty only in a rig that is still to be filled. */
  regions: z.array(regionSchema).max(500),
  white: z.array(regionSchema).max(50).optional(),
  chart: z
    .strictObject({
      rows: z.int().min(1).max(50),
      columns: z.int().min(1).max(50),
      corners: cornersSchema,
      values: pathSchema,
    })
    .optional(),
  /** The user's word that exposure, focus and white balance are manual. */
  settings: z.literal('locked').optional(),
  thumbnail: z
    .string()
    .max(2_000_000)
    .regex(/^data:image\/png;base64,[A-Za-z0-9+/]+={0,2}$/, { error: 'a PNG as a data URL' })
    .optional(),
});

export type RigFile = z.infer<typeof rigSchema>;
