import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { loadScenario } from '../../src/files/load-scenario.ts';
import type { Result } from '../../src/model/result.ts';
import { vialapse } from '../cli/bench.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-practice-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const bench = (blind: boolean): string => `schema: vialapse/bench@1
name: lots
reagent: { salt: Na2Cr2O7.2H2O, salt_g: 0.1, water_ml: 10, acid_ml: 1, acid_percent: 96 }
reagent_ml: 0.5
temperature_c: 32
hours: 5
level: { mol_percent: 4, impurity: 2-butanol }
rack: { rows: 2, columns: 5 }
seed: 3
blind: ${String(blind)}
materials:
  - { name: reagent only, role: blank, substance: water, sample_ml: 0.04 }
  - { name: known clean, role: negative, vials: 3, substance: tert-butanol, drops: 2, drop_mg: 15.6 }
  - { name: 2-butanol, role: positive, vials: 2, substance: 2-butanol, drops: 2, drop_mg: 16 }
  - { name: lot 01, role: sample, vials: 2, substance: tert-butanol, drops: 2, drop_mg: 15.6, expect: resists }
  - { name: lot 02, role: sample, vials: 2, substance: tert-butanol, drops: 2, drop_mg: 15.6, expect: resists }
`;

describe('plan, then simulate, then analyse', () => {
  it('finds the impure lot, and compares the run with its plan', { timeout: 240_000 }, async () => {
    writeFileSync(path.join(folder, 'bench.yaml'), bench(false));
    const out = path.join(folder, 'lots');
    const planned = await vialapse('plan', path.join(folder, 'bench.yaml'), '--out', out);
    expect([planned.code, planned.err]).toEqual([0, expect.stringContaining('Practise: vialapse simulate ')]);
    const file = path.join(out, 'scenario.yaml');
    const written = await loadScenario(file);
    expect(written.vials.map(({ role }) => role).sort()).toEqual([
      'blank',
      'negative',
      'negative',
      'negative',
      'positive',
      'positive',
      'sample',
      'sample',
      'sample',
      'sample',
    ]);
    // A quarter of the pixels and of the frames: the test need not wait for the whole film. As stills, for so small a film
    // would be coded more coarsely than the plan can know.
    const small = `${readFileSync(file, 'utf8').trimEnd()}\nmedia: { kind: jpeg }\n`
      .replace('{ width: 1280, height: 720 }', '{ width: 640, height: 360 }')
      .replace(/frame_count: \d+/, 'frame_count: 61')
      .replace(/interval_s: [\d.]+/, 'interval_s: 300');
    writeFileSync(file, small);
    const practice = path.join(out, 'practice');
    expect((await vialapse('simulate', file, '--out', practice)).code).toBe(0);
    const { code, out: json } = await vialapse('analyse', path.join(practice, 'run.yaml'), '--json');
    const result = JSON.parse(json) as Result;
    expect([code, result.samples.map(({ group, outcome }) => `${group} ${outcome}`).sort()]).toEqual([
      0,
      ['lot 01 resisted', 'lot 02 reacted'],
    ]);
    const inputs = result.made.inputs.map(({ path: name }) => name);
    expect(inputs).toEqual(expect.arrayContaining(['../bench.yaml', '../plan.json']));
    const checks = result.checks.filter(({ code: name }) => name.startsWith('plan-'));
    expect(checks.map(({ code: name, status }) => `${name} ${status}`).sort()).toEqual([
      'plan-declared pass',
      'plan-limit pass',
      'plan-noise pass',
      'plan-times pass',
    ]);
    const report = path.join(practice, 'reports', 'lots practice', 'report.html');
    expect(readFileSync(report, 'utf8')).toContain('Half-times of the positives as planned');
  });

  it('writes nothing into a blind folder that tells a sample, but the key', { timeout: 120_000 }, async () => {
    writeFileSync(path.join(folder, 'blind.yaml'), bench(true));
    const out = path.join(folder, 'blind');
    const { code, err } = await vialapse('plan', path.join(folder, 'blind.yaml'), '--out', out);
    expect([code, err]).toEqual([0, expect.stringContaining('only')]);
    for (const name of ['bench-sheet.html', 'run.yaml', 'plan.json', 'scenario.yaml', 'bench.yaml'])
      expect(readFileSync(path.join(out, name), 'utf8'), name).not.toMatch(/lot 0\d/);
    expect(readFileSync(path.join(out, 'key.csv'), 'utf8').match(/lot 0\d/g)).toHaveLength(4);
    expect((await loadScenario(path.join(out, 'scenario.yaml'))).plan).toBe('bench.yaml');
  });
});
