import { z } from 'zod';

const number = z.number();
const text = z.string();
const probability = z.number().min(0).max(1);
const lab = z.tuple([number, number, number]);
const distanceSchema = z.strictObject({ value: number, p_differs: probability, p_agrees: probability, margin: number });

const pairSchema = z.strictObject({
  first: text,
  second: text,
  verdict: z.enum(['agrees', 'differs', 'cannot tell']),
  reason: text,
  final: distanceSchema,
  history: distanceSchema.nullable(),
  history_unstretched: number.nullable(),
  stretch: number.nullable(),
  clipped: z.array(text),
});

/** What `match` found: CIEDE2000 distances of colours (CIELAB, D65) between samples and references of known identity. */
export const matchSchema = z.strictObject({
  claim: text,
  alpha: number,
  knowns_from: text.nullable(),
  views: z.array(
    z.strictObject({
      view: z.enum(['final', 'history']),
      like_vials: number,
      margin: number,
      df: number,
      directions: number,
      day_error: number,
      source: text,
    }),
  ),
  units: z.array(
    z.strictObject({
      name: text,
      role: z.enum(['known', 'sample', 'blank']),
      regions: z.array(text),
      lab,
      history: z.array(lab).nullable(),
    }),
  ),
  samples: z.array(
    z.strictObject({
      name: text,
      answer: z.enum(['agrees with one', 'agrees with several', 'like none', 'cannot tell']),
      agrees_with: z.array(text),
      not_ruled_out: z.array(text),
      reason: text,
      against: z.array(pairSchema),
    }),
  ),
  panel: z.array(pairSchema),
});
