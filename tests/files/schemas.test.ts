import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { parse } from 'yaml';
import type { z } from 'zod';
import { describe, expect, expectTypeOf, it } from 'vitest';
import { projectRoot, reactionsFolder } from '../../src/files/index.ts';
import { jsonSchemaFiles } from '../../src/files/schemas/all.ts';
import type { measurementSchema } from '../../src/files/schemas/measurement.ts';
import { resultSchema } from '../../src/files/schemas/result.ts';
import type { Measurement } from '../../src/model/measurement.ts';
import type { Result } from '../../src/model/result.ts';
import { reactionText, rigText, runText } from './workspace.ts';

const folder = path.join(projectRoot, 'shared', 'schemas');
const validator = (name: string) => {
  const text = readFileSync(path.join(folder, `${name}.schema.json`), 'utf8');
  return new Ajv2020({ strict: false }).compile(JSON.parse(text) as object);
};

type MeasurementFile = z.infer<typeof measurementSchema>;
type ResultFile = z.infer<typeof resultSchema>;
type Writable<T> = T extends readonly (infer Element)[] & { readonly length: infer Length }
  ? number extends Length
    ? Writable<Element>[]
    : { -readonly [Key in keyof T]: Writable<T[Key]> }
  : T extends object
    ? { -readonly [Key in keyof T]: Writable<T[Key]> }
    : T;

describe('shared/schemas', () => {
  it('is what scripts/make-schemas.ts writes (run it after changing a schema)', () => {
    const written = readdirSync(folder).map((name) => ({ name, text: readFileSync(path.join(folder, name), 'utf8') }));
    const made = [...jsonSchemaFiles()].sort((first, second) => (first.name < second.name ? -1 : 1));
    expect(written.sort((first, second) => (first.name < second.name ? -1 : 1))).toEqual(made);
  });

  it('agrees with the records of src/model, both ways', () => {
    expectTypeOf<Writable<Result>>().toExtend<ResultFile>();
    expectTypeOf<ResultFile>().toExtend<Result>();
    expectTypeOf<Writable<Measurement>>().toExtend<MeasurementFile>();
    expectTypeOf<MeasurementFile>().toExtend<Measurement>();
    // The types are held by tsc; a result that was written has these keys too, but for the one that only `match` writes.
    const sample = readFileSync(path.join(projectRoot, 'reports', 'sample', 'result.json'), 'utf8');
    expect(['match', ...Object.keys(JSON.parse(sample) as object)].sort()).toEqual(
      Object.keys(resultSchema.shape).sort(),
    );
  });

  it('accepts good files in another validator', () => {
    expect(validator('rig')(JSON.parse(rigText))).toBe(true);
    expect(validator('run')(parse(runText))).toBe(true);
    expect(validator('reaction')(JSON.parse(reactionText))).toBe(true);
    for (const name of readdirSync(reactionsFolder)) {
      expect(validator('reaction')(JSON.parse(readFileSync(path.join(reactionsFolder, name), 'utf8'))), name).toBe(
        true,
      );
    }
  });

  it.each([
    ['two timings', 'interval_s: 20', 'interval_s: 20, speed: 600'],
    ['no timing', '{ interval_s: 20 }', '{}'],
    ['an unknown key', 'name: lot-07', 'name: lot-07\nzebra: 1'],
    ['a key of another role', 'expect: resists', 'extent: 0.5'],
    ['a mixture without extent', 'role: positive', 'role: mixture'],
    ['a time beyond all films', 'added_run_s: 20', 'added_run_s: -2e9'],
  ])('refuses %s there too', (_, from, to) => {
    expect(runText).toContain(from);
    expect(validator('run')(parse(runText.replace(from, to)))).toBe(false);
  });
});
