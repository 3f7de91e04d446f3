import { z } from 'zod';
import { nameSchema } from './text.ts';

const size = z.number().positive();
const pointSchema = z.tuple([z.number(), z.number()]);

/** A closed area of the upright frame, in pixels; origin top left. */
export const regionSchema = z.discriminatedUnion('shape', [
  z.strictObject({
    id: nameSchema,
    shape: z.literal('rect'),
    x: z.number(),
    y: z.number(),
    width: size,
    height: size,
  }),
  z.strictObject({
    id: nameSchema,
    shape: z.literal('ellipse'),
    cx: z.number(),
    cy: z.number(),
    rx: size,
    ry: size,
  }),
  z.strictObject({ id: nameSchema, shape: z.literal('polygon'), points: z.array(pointSchema).min(3).max(200) }),
]);

/** Corners in the order top left, top right, bottom right, bottom left. */
export const cornersSchema = z.tuple([pointSchema, pointSchema, pointSchema, pointSchema]);
