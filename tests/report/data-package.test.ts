import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Ajv } from 'ajv';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeReport } from '../../src/report/write-report.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-tables-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
beforeAll(async () => {
  for (const { path: file, content } of writeReport(
    await exampleAnalysis({ frames: 9, labels: ['=1+1', 'two\nlines, "so"'] }),
  )) {
    mkdirSync(path.dirname(path.join(folder, file)), { recursive: true });
    writeFileSync(path.join(folder, file), content);
  }
});

/** The profile of the standard (Data Package v1), a draft-04 schema whose parts mean the same to a later validator. */
function profile(): object {
  const file = path.resolve(import.meta.dirname, '../../fixtures/data-package/tabular-data-package.json');
  return { ...(JSON.parse(readFileSync(file, 'utf8')) as object), $schema: undefined };
}

const have = (program: string): boolean => spawnSync(program, ['--version']).status === 0;

describe('datapackage.json', () => {
  const validate = new Ajv({ strict: false, validateFormats: false }).compile(profile());

  it('is accepted by the profile of the standard, which refuses a broken one', () => {
    const descriptor = JSON.parse(readFileSync(path.join(folder, 'datapackage.json'), 'utf8')) as {
      resources: { schema: { fields: { type: string }[] } }[];
    };
    expect(validate(descriptor) ? [] : validate.errors).toEqual([]);
    descriptor.resources[0]!.schema.fields[0]!.type = 'colour';
    expect(validate(descriptor)).toBe(false);
  });

  it.runIf(have('python3'))('loads in Python as README says, types and all', () => {
    const program = `${readmeBlock('python')}
print(json.dumps([len(data), data[12]["region"], sum(row["extent"] is not None for row in data)]))`;
    const said = JSON.parse(execFileSync('python3', ['-c', program], { cwd: folder, encoding: 'utf8' })) as unknown[];
    expect(said[0]).toBe(12 * 9);
    expect(said[1]).toMatch(/^[AB]\d$/);
    expect(said[2]).toBeGreaterThan(50);
  });

  it.runIf(have('Rscript'))('loads in R as README says', () => {
    const program = `pdf(NULL)\n${readmeBlock('r')}\nstopifnot(is.numeric(data$extent)); cat(nrow(data), ncol(data))`;
    expect(execFileSync('Rscript', ['-e', program], { cwd: folder, encoding: 'utf8' })).toMatch(/108 13$/);
  });

  it.runIf(have('frictionless'))('is accepted by the validator of the standard, tables and all', () => {
    expect(spawnSync('frictionless', ['validate', 'datapackage.json'], { cwd: folder }).status).toBe(0);
  });
});

/** The lines of README that load the tables, five of each language. */
function readmeBlock(language: string): string {
  const readme = readFileSync(path.resolve(import.meta.dirname, '../../README.md'), 'utf8');
  const [, lines] = new RegExp(`\`\`\`${language}\n([^]*?)\n\`\`\``).exec(readme)!;
  expect(lines!.split('\n')).toHaveLength(5);
  return lines!;
}
