import { z } from 'zod';
import { lineSchema, nameSchema, notesSchema } from './text.ts';

/** A reaction of shared/reactions. Without `species` its colour path runs between the colours of its pins. */
export const reactionSchema = z.strictObject({
  schema: z.literal('vialapse/reaction@1'),
  name: nameSchema,
  title: lineSchema,
  species: z
    .array(
      z.strictObject({
        id: nameSchema,
        name: lineSchema,
        side: z.enum(['start', 'end']),
        spectrum: z.strictObject({
          nm: z.array(z.number().positive()).min(2).max(5000),
          epsilon: z.array(z.number().nonnegative()).min(2).max(5000),
        }),
        interpolated: z
          .strictObject({
            from_nm: z.number().positive(),
            to_nm: z.number().positive(),
            log: z.number().min(-3).max(3),
            log_sd: z.number().nonnegative().max(3),
          })
          .optional(),
        source: notesSchema.min(1),
      }),
    )
    .min(2)
    .max(20)
    .optional(),
  electrons_per_reagent: z.number().positive().optional(),
  start_colour: lineSchema,
  end_colour: lineSchema,
  cautions: z.array(notesSchema.min(1)).max(50),
});

export type ReactionFile = z.infer<typeof reactionSchema>;
