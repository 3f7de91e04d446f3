import { z } from 'zod';
import { addedSecondsSchema } from './seconds.ts';
import { liquidShape, sampleAmountShape } from './dose.ts';
import { lineSchema, nameSchema } from './text.ts';

export const roles = ['blank', 'positive', 'negative', 'standard', 'mixture', 'known', 'sample'] as const;

/** Keys that belong to one role alone. */
export const roleKeys = {
  extent: 'mixture',
  level_mol_percent: 'standard',
  identity: 'known',
  expect: 'sample',
} as const satisfies Readonly<Record<string, (typeof roles)[number]>>;

/** Keys that a role cannot do without. */
export const neededKeys = {
  mixture: 'extent',
  standard: 'level_mol_percent',
  known: 'identity',
} as const satisfies Readonly<Partial<Record<(typeof roles)[number], keyof typeof roleKeys>>>;

const rules = Object.entries(roleKeys).map(([key, role]) => ({
  if: { properties: { role: { const: role } } },
  ...(Object.values(neededKeys).some((needed) => needed === key) ? { then: { required: [key] } } : {}),
  else: { properties: { [key]: false } },
}));

/** One vial of a run. */
export const vialSchema = z
  .strictObject({
    region: nameSchema,
    label: lineSchema,
    role: z.enum(roles),
    added_run_s: addedSecondsSchema.optional(),
    expect: z.enum(['resists', 'reacts']).optional(),
    group: lineSchema.optional(),
    level_mol_percent: z.number().nonnegative().max(100).optional(),
    extent: z.number().min(0).max(1).optional(),
    identity: lineSchema.optional(),
    ...sampleAmountShape,
    ...liquidShape,
  })
  .meta({ allOf: rules });

export type VialFile = z.infer<typeof vialSchema>;
