import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadRun } from '../../src/files/index.ts';
import { changedLines, refusal, runText, workspace, writeRun } from './workspace.ts';

const root = workspace();
let count = 0;
function folder(): string {
  count += 1;
  const made = path.join(root, String(count));
  mkdirSync(made);
  return made;
}
const refused = (run: string, rig?: string) =>
  refusal(loadRun(writeRun(folder(), rig === undefined ? { run } : { run, rig })));

describe('loadRun', () => {
  it("completes a short run file with the contract's defaults and absolute paths", async () => {
    const at = folder();
    const run = await loadRun(writeRun(at));
    expect(run).toMatchObject({
      name: 'lot-07',
      rigFile: path.join(at, 'rig.json'),
      source: [{ file: path.join(at, 'overnight.mp4'), startsRunS: null }],
      timing: { kind: 'interval', intervalS: 20 },
      reaction: { name: 'reaction.json', file: path.join(at, 'reaction.json') },
      readAtS: null,
      alpha: 0.05,
      margin: { unit: 'extent', value: 0.05 },
      transfer: 'srgb',
      events: [],
      record: {},
      dose: null,
    });
    expect(run.vials.map(({ role, addedRunS }) => [role, addedRunS])).toEqual([
      ['blank', 0],
      ['positive', 10],
      ['sample', 20],
    ]);
    expect(run.vials[2]).toMatchObject({ expect: 'resists', group: null, sampleMl: null });
  });

  it('reads everything that the contract shows', async () => {
    const text = `${runText.replace('timing: { interval_s: 20 }', 'timing: { clock: exif, clock_readings: [{ camera: 2026-03-01T18:00:00, actual: 2026-03-01T18:04:10 }] }')}
  - { region: W9, label: 007, role: standard, level_mol_percent: 0.5 }
read_at_s: 7200
alpha: 0.01
margin_mol_percent: 0.2
transfer: tagged
events: [{ at_run_s: 7800, what: lamp moved }, { at_run_s: 9000, what: shaken, region: A3 }]
record: { operator: "", reagent_lot: 0012, reagent_made: 2026-03-01 }
dose:
  reagent: { salt: K2Cr2O7, salt_g: 0.100, salt_g_u: 0.001, water_ml: 10.0, acid_ml: 1.0, acid_percent: 96 }
  reagent_ml: 0.5
  sample_ml: 0.04
`;
    const rig = JSON.stringify({
      schema: 'vialapse/rig@1',
      name: 'r',
      frame: { width: 640, height: 480 },
      regions: ['A1', 'A2', 'A3', 'W9'].map((id, index) => ({
        id,
        shape: 'rect',
        x: 100 * index,
        y: 10,
        width: 50,
        height: 50,
      })),
    });
    const run = await loadRun(writeRun(folder(), { run: text, rig }));
    expect(run.timing).toEqual({
      kind: 'clock-exif',
      readings: [{ camera: '2026-03-01T18:00:00', actual: '2026-03-01T18:04:10' }],
    });
    expect(run.margin).toEqual({ unit: 'mol-percent', value: 0.2 });
    expect(run.record).toEqual({ reagent_lot: '0012', reagent_made: '2026-03-01' });
    expect(run.vials[3]).toMatchObject({ label: '007', levelMolPercent: 0.5, addedRunS: null });
    expect(run.dose?.reagent.saltG).toEqual({ value: 0.1, u: 0.001 });
    expect(run.dose?.reagent.waterMl).toEqual({ value: 10, u: null });
    expect(run.events[1]).toEqual({ atRunS: 9000, what: 'shaken', region: 'A3' });
  });

  it('names an unknown key with the nearest right one, and does not also call that one missing', async () => {
    const error = await refused(runText.replace('label: 1-butanol', 'lable: 1-butanol'));
    expect(error.details).toMatchObject({
      code: 'unknown-key',
      line: 9,
      key: 'vials[1].lable',
      hint: 'did you mean "label"?',
    });
    expect(error.message).toContain('run.yaml, line 9: there is no key "lable" here');
  });

  it('names unknown keys inside lists of parts, which a union would bury', async () => {
    const error = await refused(
      runText.replace('source: overnight.mp4', 'source:\n  - { file: overnight.mp4, start_run_s: 0 }'),
    );
    expect(error.details).toMatchObject({ code: 'unknown-key', line: 5, hint: 'did you mean "starts_run_s"?' });
  });

  it.each([
    ['an unknown role', 'role: blank', 'role: blnk', 'unknown-word', 'did you mean "blank"?'],
    ['an unknown region', 'region: A3', 'region: B3', 'unknown-region', undefined],
    ['a region used twice', 'region: A3', 'region: A2', 'region-used-twice', undefined],
    ['a time beyond all films', 'added_run_s: 20', 'added_run_s: -2e9', 'out-of-range', undefined],
    ['not a number', 'added_run_s: 20', 'added_run_s: .nan', 'wrong-type', undefined],
    ['infinity', 'added_run_s: 20', 'added_run_s: .inf', 'wrong-type', undefined],
    ['an interval of nothing', 'interval_s: 20', 'interval_s: 0', 'out-of-range', undefined],
    ['two timings', 'interval_s: 20', 'interval_s: 20, speed: 600', 'timing-twice', undefined],
    ['no timing', '{ interval_s: 20 }', '{}', 'timing-missing', undefined],
    [
      'readings without a clock',
      'interval_s: 20',
      'interval_s: 20, clock_readings: [{ camera: 2026-03-01T18:00, actual: 2026-03-01T18:01 }]',
      'readings-without-clock',
      undefined,
    ],
    ['a path as a name', 'name: lot-07', 'name: ../lot', 'invalid-value', undefined],
    ['alpha of one', 'name: lot-07', 'name: lot-07\nalpha: 1', 'out-of-range', undefined],
    ['a margin of one', 'name: lot-07', 'name: lot-07\nmargin: 1', 'out-of-range', undefined],
    [
      'a margin in mol % without dose',
      'name: lot-07',
      'name: lot-07\nmargin_mol_percent: 1',
      'margin-without-dose',
      undefined,
    ],
    ['an extent on a sample', 'expect: resists', 'extent: 0.5', 'key-of-other-role', undefined],
    ['a mixture without extent', 'role: positive', 'role: mixture', 'missing-key', undefined],
    ['a film that is not there', 'overnight.mp4', 'other.mp4', 'file-missing', undefined],
    ['a rig that is not there', 'rig: rig.json', 'rig: other.json', 'file-missing', undefined],
    [
      'a reaction that is not there',
      'reaction: reaction.json',
      'reaction: no-such-reaction',
      'unknown-reaction',
      undefined,
    ],
    [
      'an event on an unknown region',
      'name: lot-07',
      'name: lot-07\nevents: [{ at_run_s: 1, what: shaken, region: Z }]',
      'unknown-region',
      undefined,
    ],
    ['a key twice', 'name: lot-07', 'name: lot-07\nname: lot-08', 'duplicate-key', undefined],
    ['an uncertainty alone', 'expect: resists', 'density_g_ml_u: 0.01', 'uncertainty-alone', undefined],
    ['a tab', '    label: recovered', '\tlabel: recovered', 'yaml-tab', undefined],
    ['another version', 'run@1', 'run@9', 'unknown-word', undefined],
    ['a file of another kind', 'run@1', 'bench@1', 'other-kind', 'name a run file'],
    ['a control character in a label', 'label: 1-butanol', 'label: "1\\u0000"', 'invalid-value', undefined],
    ['a prototype key', 'name: lot-07', 'name: lot-07\n__proto__: { a: 1 }', 'unknown-key', undefined],
  ])('refuses %s', async (_, from, to, code, hint) => {
    expect(runText).toContain(from);
    const error = await refused(runText.replace(from, to));
    expect(error.details.code).toBe(code);
    expect(error.details.file).toMatch(/run\.yaml$/);
    const [first, last] = changedLines(runText, runText.replace(from, to));
    expect(error.details.line).toBeGreaterThanOrEqual(first);
    expect(error.details.line).toBeLessThanOrEqual(last);
    if (hint !== undefined) expect(error.details.hint).toBe(hint);
  });

  it('refuses a run without any reference', async () => {
    const error = await refused(
      runText.replace('role: blank', 'role: sample').replace('role: positive', 'role: sample'),
    );
    expect(error.details).toMatchObject({ code: 'no-reference', line: 7, key: 'vials' });
  });

  it('tells how many more there are', async () => {
    const error = await refused(
      runText
        .replace('region: A1', 'region: Q1')
        .replace('region: A2', 'region: Q2')
        .replace('region: A3', 'region: Q3'),
    );
    expect(error.details.line).toBe(8);
    expect(error.details.hint).toContain('also:     2 more in this file: line 9 (the rig has no region "Q2"); line 10');
  });

  it.each([
    [
      'an alias bomb',
      `a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b]\nd: [*c,*c,*c,*c,*c,*c,*c,*c,*c]\n`,
      'yaml-too-deep',
    ],
    ['brackets without end', '['.repeat(100_000), 'yaml-too-deep'],
    ['brackets too deep', `${'['.repeat(20_000)}${']'.repeat(20_000)}`, 'yaml-too-deep'],
    ['an empty file', '', 'empty-file'],
    ['only a comment', '# nothing\n', 'empty-file'],
    ['a list', '- 1\n', 'wrong-type'],
    ['a word', 'hello\n', 'wrong-type'],
    ['two documents', `${runText}---\n${runText}`, 'several-documents'],
    ['an open bracket', 'name: [1, 2\n', 'syntax'],
  ])('refuses %s', async (_, text, code) => {
    expect((await refused(text)).details.code).toBe(code);
  });

  it('reads JSON indented with tabs', async () => {
    const at = folder();
    const run = {
      schema: 'vialapse/run@1',
      name: 'json',
      rig: 'rig.json',
      source: 'overnight.mp4',
      timing: { speed: 600 },
      reaction: './reaction.json',
      vials: [{ region: 'A1', label: 'b', role: 'blank' }],
    };
    expect((await loadRun(writeRun(at, { run: JSON.stringify(run, null, '\t') }))).timing).toEqual({
      kind: 'speed',
      speed: 600,
    });
  });
});
