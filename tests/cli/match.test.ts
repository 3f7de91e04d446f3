import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { resultSchema } from '../../src/files/schemas/result.ts';
import { encodeJpeg } from '../../src/frames/index.ts';
import type { Overview } from '../../src/model/overview.ts';
import type { Result } from '../../src/model/result.ts';
import { bench, picture, vialapse, writeRunFile } from './bench.ts';

const root = bench();
const dataPackageProfile = path.resolve(import.meta.dirname, '../../fixtures/data-package/tabular-data-package.json');

/** One photograph: A1 and A4 orange, A2 and A3 green. */
async function photograph(name: string, vials: string, rig: object = {}): Promise<string> {
  const folder = path.join(root, name);
  mkdirSync(folder);
  writeFileSync(path.join(folder, 'photo.jpg'), await encodeJpeg(picture(0.8), { quality: 95 }));
  return writeRunFile(folder, { source: 'photo.jpg', vials, rig });
}

const panel = `  - { region: A1, label: compound 1 a, role: known, identity: compound 1 }
  - { region: A4, label: compound 1 b, role: known, identity: compound 1 }
  - { region: A2, label: compound <2>, role: known, identity: compound <2> }
  - { region: A3, label: lot X, role: sample }
`;

describe('match', () => {
  it('works on a single photograph, claims no identity, and writes result, tables, page and picture', async () => {
    const run = await photograph('single', panel);
    const { code, out, err } = await vialapse('match', run, '--json');
    expect(err).toContain('lot X: ');
    expect(err).toContain('does not identify a');
    expect(code).toBe(0);
    const result = resultSchema.parse(JSON.parse(out)) as Result;
    const folder = path.join(root, 'single', 'reports', 'small match');
    expect(JSON.parse(readFileSync(path.join(folder, 'result.json'), 'utf8'))).toEqual(result);
    const [sample] = result.match!.samples;
    const verdicts = Object.fromEntries(sample!.against.map(({ second, verdict }) => [second, verdict]));
    expect(verdicts['compound 1']).toBe('differs');
    expect(verdicts['compound <2>']).not.toBe('differs');
    expect(sample!.against.every(({ history }) => history === null)).toBe(true);
    const page = readFileSync(path.join(folder, 'report.html'), 'utf8');
    expect(page).toContain('compound &lt;2&gt;');
    expect(page).not.toContain('compound <2>');
    for (const name of ['colours.csv', 'distances.csv', 'charts/panel.svg'])
      expect(readFileSync(path.join(folder, name), 'utf8'), name).toContain('compound 1');
    const profile: object = { ...(JSON.parse(readFileSync(dataPackageProfile, 'utf8')) as object), $schema: undefined };
    const validate = new Ajv({ strict: false, validateFormats: false }).compile(profile);
    const described = JSON.parse(readFileSync(path.join(folder, 'datapackage.json'), 'utf8')) as {
      resources: { path: string; schema: { fields: { name: string }[] } }[];
    };
    expect(validate(described) ? [] : validate.errors).toEqual([]);
    for (const { path: table, schema } of described.resources) {
      const [header] = readFileSync(path.join(folder, table), 'utf8').split('\r\n');
      expect(header).toBe(schema.fields.map(({ name }) => name).join(','));
    }
    const chart = await vialapse('chart', folder);
    expect(chart.code).toBe(2);
    expect(chart.err).toContain('panel.svg');
  });

  it('takes knowns from a photograph of another day with a larger error, and refuses without a patch', async () => {
    const knowns = await photograph('monday', panel);
    const samples = `  - { region: A2, label: lot X, role: sample }
  - { region: A1, label: reagent, role: blank }
`;
    const tuesday = await photograph('tuesday', samples);
    const { code, out } = await vialapse('match', tuesday, '--knowns', knowns, '--json');
    expect(code).toBe(0);
    const { match } = JSON.parse(out) as Result;
    expect(match!.knowns_from).toBe('../monday/run.yaml');
    expect(match!.views[0]!.day_error).toBeCloseTo(5);
    expect(match!.samples[0]!.against[0]!.final.margin).toBeGreaterThan(2 * 5 - 1e-9);
    // What the samples are compared with stands in the other run: this one may hold nothing else.
    const alone = await photograph('alone', '  - { region: A2, label: lot X, role: sample }\n');
    const only = await vialapse('match', alone, '--knowns', knowns, '--json');
    expect(only.code).toBe(0);
    expect((JSON.parse(only.out) as Result).match!.samples.map(({ name }) => name)).toEqual(['lot X']);
    expect(await vialapse('match', alone)).toMatchObject({ code: 2, err: expect.stringContaining('with --knowns') });
    const bare = await photograph('bare', samples, { white: [] });
    const refused = await vialapse('match', bare, '--knowns', knowns);
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/neutral patch/);
    expect(existsSync(path.join(root, 'bare', 'reports'))).toBe(false);
  });

  it('refuses a run without knowns before reading a picture', async () => {
    const run = await photograph(
      'none',
      '  - { region: A1, label: a, role: blank }\n  - { region: A2, label: b, role: sample }\n',
    );
    const { code, err } = await vialapse('match', run);
    expect(code).toBe(2);
    expect(err).toContain('no known reference');
    expect(err).toContain('identity: compound 1');
    const analysed = await vialapse('analyse', await photograph('panel', panel));
    expect([analysed.code, analysed.err]).toEqual([
      2,
      expect.stringMatching(/panel of known references[^]*vialapse match/),
    ]);
  });

  it('is run by batch as what it is, its answers in the overview', { timeout: 120_000 }, async () => {
    const run = await photograph('in-batch', panel);
    const out = path.join(root, 'reports');
    const { code, err } = await vialapse('batch', run, '--out', out);
    expect([code, err]).toEqual([0, expect.stringContaining('1 run: 1 done, 0 as before, 0 failed')]);
    const overview = JSON.parse(readFileSync(path.join(out, 'overview.json'), 'utf8')) as Overview;
    const [row] = overview.rows;
    expect(row!.controls).toBe('passed');
    expect(row!.outcomes).toEqual([{ label: 'lot X', outcome: expect.any(String) as string, as_expected: null }]);
    expect(existsSync(path.join(out, 'small', 'distances.csv'))).toBe(true);
    expect((await vialapse('batch', run, '--out', out)).err).toContain('1 run: 0 done, 1 as before');
  });
});
