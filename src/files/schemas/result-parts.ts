import { z } from 'zod';

const bound = z.number().nullable();
const ci95 = z.tuple([bound, bound]);
const estimateShape = { value: z.number(), se: z.number().nullable(), ci95 };

/** A number with standard error and 95 % interval; a null bound is unbounded. */
export const estimateSchema = z.strictObject(estimateShape);
/** A time in seconds; censored right: not reached by `value`, left: passed before. */
export const timeSchema = z.strictObject({ ...estimateShape, censored: z.enum(['none', 'left', 'right']) });
export const rateSchema = z.strictObject({ ...estimateShape, unit: z.string() });
export const ratioSchema = z.strictObject({ ...estimateShape, bounded: z.boolean() });
export const intervalSchema = ci95;

export const modelSchema = z.enum([
  'none',
  'zero-order',
  'first-order',
  'first-order-induction',
  'burst-background',
  'consecutive',
  'sigmoid',
  'second-order',
]);

export const inputSchema = z.strictObject({ path: z.string(), sha256: z.string().regex(/^[0-9a-f]{64}$/) });
