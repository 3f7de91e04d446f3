import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { loadPlan, loadRun, projectRoot } from '../../src/files/index.ts';
import { compareWithPlan } from '../../src/plan/compare.ts';
import { vialapse } from '../cli/bench.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-plan-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const demo = readFileSync(path.join(projectRoot, 'shared', 'demo', 'bench.yaml'), 'utf8');

const written = (name: string, text: string): string => {
  const file = path.join(folder, name);
  writeFileSync(file, text);
  return file;
};

describe('vialapse plan', () => {
  it('writes a sheet, a run that loads with its rig, and predictions', { timeout: 120_000 }, async () => {
    const out = path.join(folder, 'lots');
    const { code, out: json, err } = await vialapse('plan', written('bench.yaml', demo), '--out', out, '--json');
    expect([code, err]).toEqual([0, expect.stringContaining('Smallest level this run would see')]);
    const run = await loadRun(path.join(out, 'run.yaml'), { sourceMayBeMissing: true });
    expect(run.vials).toHaveLength(16);
    expect(run.readAtS).toBe(19_800);
    expect(run.planFile).toBe(path.join(out, 'bench.yaml'));
    expect(await loadPlan(run.planFile!)).toEqual(JSON.parse(json));
    const sheet = readFileSync(path.join(out, 'bench-sheet.html'), 'utf8');
    expect(sheet).toContain('licensed disposal');
    expect(sheet).not.toMatch(/bisulfite|thiosulfate|ferrous/i);
    const pdf = readFileSync(path.join(out, 'bench-sheet.pdf'), 'latin1');
    expect(pdf.match(/\/Type \/Page\b/g)).toHaveLength(1);
    expect(pdf).toMatch(/595\.28 841\.89/);
  });

  it.each([
    ['two amounts', '{ name: cut 02, role: sample', '{ name: cut 02, sample_ml: 0.1, role: sample', 'given twice'],
    ['a drop not weighed', 'drops: 1, drop_mg: 31', 'drops: 1', 'drops need the mass of one'],
    ['too small a rack', 'columns: 8', 'columns: 7', 'fewer places than there are vials'],
    ['an unknown key', 'temperature_c', 'temprature_c', 'did you mean "temperature_c"'],
    ['no chromium', 'K2Cr2O7', 'NaCl', 'not the formula of a chromium(VI) salt'],
  ])('refuses %s, and writes nothing', async (_, from, to, message) => {
    expect(demo).toContain(from);
    const out = path.join(folder, 'refused');
    const { code, err } = await vialapse('plan', written('bad.yaml', demo.replace(from, to)), '--out', out);
    expect([code, existsSync(out)]).toEqual([2, false]);
    expect(err).toContain(message);
  });
});

describe('the comparison after the run', () => {
  it('warns of more noise and of a changed reading time', async () => {
    const { result: example } = await exampleAnalysis();
    const { run } = example;
    const plan = {
      schema: 'vialapse/plan@1',
      name: 'x',
      seed: '1',
      read_at_s: run.read_at_s,
      margin: run.margin,
      alpha: run.alpha,
      between_vial_sd: { value: 0.01, df: 40, source: 'x' },
      path_error: null,
      detectable: null,
      chance_of_resisted: null,
      vials: [],
    } as const;
    const result = { ...example, run: { ...run, between_vial_sd: { value: 0.05, df: 4, source: 'x' } } };
    const status = (changed: typeof plan | object): Record<string, string> =>
      Object.fromEntries(
        compareWithPlan({ ...plan, ...changed }, result).map(({ code, status: said }) => [code, said]),
      );
    expect(status({})).toEqual({ 'plan-declared': 'pass', 'plan-noise': 'warn' });
    expect(status({ between_vial_sd: { value: 0.045, df: 40, source: 'x' }, read_at_s: 1 })).toEqual({
      'plan-declared': 'warn',
      'plan-noise': 'pass',
    });
  });
});
