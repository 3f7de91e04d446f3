import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { summaryOf } from '../../src/cli/summary.ts';
import { resultSchema } from '../../src/files/schemas/result.ts';
import type { Result } from '../../src/model/result.ts';
import { bench, vialapse, writeRunFile, writeStills } from './bench.ts';

const root = bench();
let run: string;
let first: { code: number; out: string; err: string };

beforeAll(async () => {
  run = writeRunFile(root, { source: await writeStills(root, 30) });
  first = await vialapse('analyse', run, '--json');
});

const reports = (): string => path.join(root, 'reports', 'small');
const read = (name: string): string => readFileSync(path.join(reports(), name), 'utf8');
/** Folders of kept measurements; beside them lies what is known of sources. */
const measurements = (folder: string): readonly string[] =>
  readdirSync(path.join(folder, 'reports', '.vialapse')).filter((name) => name !== 'sources');
const withoutTime = (text: string): string => text.replace(/"at":\s*"[^"]+"/, '"at":""');

describe('analyse', () => {
  it('writes the report beside the run, the result on stdout, the summary on stderr', () => {
    expect([0, 3]).toContain(first.code);
    const result = JSON.parse(first.out) as Result;
    expect(resultSchema.parse(result)).toEqual(JSON.parse(read('result.json')));
    for (const name of ['trajectory.csv', 'rates.csv', 'datapackage.json', 'report.html'])
      expect(read(name), name).not.toBe('');
    expect(readdirSync(path.join(reports(), 'charts')).length).toBeGreaterThan(0);
    expect(result.samples.map(({ outcome }) => outcome)).toEqual(['reacted']);
    expect(first.err).toMatch(/reacted +dirty lot/);
    expect(first.err).toContain('Report: ');
    expect(first.err.split('\n').every((line) => line.length <= 80 || line.startsWith('Report'))).toBe(true);
  });

  it('names no absolute path in any file', () => {
    const names = readdirSync(reports(), { recursive: true, encoding: 'utf8' }).filter((name) =>
      statSync(path.join(reports(), name)).isFile(),
    );
    expect(names.length).toBeGreaterThan(5);
    for (const name of names) expect(read(name), name).not.toContain(root);
  });

  it('again gives the same bytes but for the time, from the kept measurement and from the pictures alike', async () => {
    const out = path.join(root, 'elsewhere', 'small');
    expect((await vialapse('analyse', run)).code).toBe(first.code);
    expect((await vialapse('analyse', run, '--out', out)).code).toBe(first.code);
    expect(measurements(root)).toHaveLength(1);
    const names = readdirSync(out, { recursive: true, encoding: 'utf8' }).filter((name) =>
      statSync(path.join(out, name)).isFile(),
    );
    for (const name of names) {
      expect(withoutTime(readFileSync(path.join(out, name), 'utf8')), name).toBe(withoutTime(read(name)));
    }
  });

  it('judges a changed label without measuring again, and an overwritten report is replaced whole', async () => {
    writeFileSync(path.join(reports(), 'notes.txt'), 'mine');
    writeFileSync(run, readFileSync(run, 'utf8').replace('dirty lot', 'lot 11'));
    await vialapse('analyse', run);
    expect(measurements(root)).toHaveLength(1);
    expect(read('result.json')).toContain('lot 11');
    expect(read('notes.txt')).toBe('mine');
    expect(readdirSync(path.join(root, 'reports')).sort()).toEqual(['.vialapse', 'small']);
  });

  it('with no reference turning as it must, ends with 3 and still writes the report', async () => {
    const vials = `  - { region: A1, label: reagent only, role: blank, added_run_s: 0 }
  - { region: A4, label: dead reference, role: positive, added_run_s: 0 }
  - { region: A3, label: lot, role: sample, added_run_s: 0 }
`;
    const file = writeRunFile(root, { source: 'stills', vials });
    const out = path.join(root, 'dead');
    const { code, err } = await vialapse('analyse', file, '--out', out);
    expect(code).toBe(3);
    expect(existsSync(path.join(out, 'report.html'))).toBe(true);
    expect(err).toContain('fail: ');
  });
});

describe('preview', () => {
  it('draws the regions and says what is doubtful', async () => {
    const reagent = '{ salt: KMnO4, salt_g: 0.1, water_ml: 10, acid_ml: 1, acid_percent: 96 }';
    const more = `read_at_s: 999999\ndose: { reagent: ${reagent}, reagent_ml: 0.5, sample_ml: 0.04 }\n`;
    const file = writeRunFile(root, { source: 'stills', more });
    const { code, out, err } = await vialapse('preview', file, '--json', '--out', path.join(root, 'p.png'));
    expect(code).toBe(0);
    expect(readFileSync(path.join(root, 'p.png')).subarray(1, 4).toString()).toBe('PNG');
    const { doubts } = JSON.parse(out) as { doubts: { message: string }[] };
    const said = doubts.map(({ message }) => message).join('\n');
    expect(said).toMatch(/the reading time .* is after the last frame/);
    expect(said).toContain('one negative reference only');
    expect(said).toContain('the salt "KMnO4" is not the formula of a chromium salt');
    expect(err.replace(/\s+/g, ' ')).toContain('one negative reference only');
    expect(existsSync(path.join(root, 'small-preview.png'))).toBe(false);
  });
});

describe('the summary', () => {
  it('keeps long labels and hostile ones inside 80 columns', async () => {
    const result = JSON.parse(first.out) as Result;
    const hostile = {
      ...result,
      samples: result.samples.map((sample) => ({ ...sample, label: 'lot '.repeat(40) + '\u001b[2J' })),
    };
    const text = summaryOf(hostile, 'reports/small/report.html');
    expect(text).not.toContain('\u001b');
    expect(text.split('\n').every((line) => line.length <= 88)).toBe(true);
  });
});
