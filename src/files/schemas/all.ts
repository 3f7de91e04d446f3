import { z } from 'zod';
import { benchSchema } from './bench.ts';
import { measurementSchema } from './measurement.ts';
import { planSchema } from './plan.ts';
import { reactionSchema } from './reaction.ts';
import { resultSchema } from './result.ts';
import { rigSchema } from './rig.ts';
import { runSchema } from './run.ts';
import { savedPathSchema } from './saved-path.ts';
import { scenarioSchema } from './scenario.ts';

const schemas: Readonly<Record<string, z.ZodType>> = {
  rig: rigSchema,
  run: runSchema,
  reaction: reactionSchema,
  path: savedPathSchema,
  scenario: scenarioSchema,
  bench: benchSchema,
  plan: planSchema,
  result: resultSchema,
  measurement: measurementSchema,
};

/** The JSON Schemas of shared/schemas: file name to text. */
export function jsonSchemaFiles(): readonly { readonly name: string; readonly text: string }[] {
  return Object.entries(schemas).map(([name, schema]) => ({
    name: `${name}.schema.json`,
    text: `${JSON.stringify({ title: `vialapse ${name}`, ...z.toJSONSchema(schema) }, null, 2)}\n`,
  }));
}
