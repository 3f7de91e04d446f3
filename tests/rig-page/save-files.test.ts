import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { runText } from '../../src/files/run-text.ts';
import type { PlainObject } from '../../src/rig-page/messages.ts';
import { checkFiles, runFileProblem } from '../../src/rig-page/server/check-files.ts';
import { saveFiles } from '../../src/rig-page/server/save-files.ts';
import { temporaryFolder } from './serve.ts';

const rig: PlainObject = {
  schema: 'vialapse/rig@1',
  name: 'bench',
  frame: { width: 640, height: 480 },
  regions: [{ id: 'A1', shape: 'rect', x: 10, y: 10, width: 40, height: 60 }],
};
const run: PlainObject = {
  schema: 'vialapse/run@1',
  name: 'lot-07',
  rig: 'rig.json',
  source: 'overnight.mp4',
  timing: { interval_s: 20 },
  reaction: 'acid-dichromate',
  vials: [{ region: 'A1', label: 'say "no": 100 %, #1', role: 'blank', added_run_s: 0 }],
};

describe('saving', () => {
  it('writes both files, then nothing while nothing changed', async () => {
    const folder = temporaryFolder();
    const place = { rigFile: path.join(folder, 'rig.json'), own: new Map<string, string>() };
    const request = { rig, run, runFile: 'run.yaml', replace: false };
    expect(await saveFiles(place, request)).toMatchObject({
      kind: 'saved',
      written: ['rig.json', 'run.yaml'],
      kept: [],
    });
    expect(await saveFiles(place, request)).toMatchObject({ kind: 'saved', written: [], kept: [] });
    expect(readdirSync(folder).sort()).toEqual(['rig.json', 'run.yaml']);
  });

  it('leaves files of others alone until asked, and never loses what it replaces', async () => {
    const folder = temporaryFolder();
    const place = { rigFile: path.join(folder, 'rig.json'), own: new Map<string, string>() };
    writeFileSync(place.rigFile, '"mine"');
    writeFileSync(`${place.rigFile}.previous`, '"older"');
    const request = { rig, run, runFile: 'run.yaml', replace: false };
    expect(await saveFiles(place, request)).toEqual({ kind: 'exists', files: ['rig.json'] });
    expect(readdirSync(folder).sort()).toEqual(['rig.json', 'rig.json.previous']);
    expect(await saveFiles(place, { ...request, replace: true })).toMatchObject({ kept: ['rig.json.previous-2'] });
    expect(readFileSync(`${place.rigFile}.previous`, 'utf8')).toBe('"older"');
    expect(readFileSync(`${place.rigFile}.previous-2`, 'utf8')).toBe('"mine"');
    const renamed = await saveFiles(place, { ...request, rig: { ...rig, name: 'left' } });
    expect(renamed).toMatchObject({ kind: 'saved', written: ['rig.json'], kept: ['rig.json.previous-3'] });
    writeFileSync(place.rigFile, '"changed meanwhile"');
    expect(await saveFiles(place, request)).toMatchObject({ kind: 'exists' });
  });
});

describe('the text of a run file', () => {
  it('reads back as it was meant, one vial a line', async () => {
    const text = runText(run, null);
    expect(text).toContain('- { region: A1, label: \'say "no": 100 %, #1\', role: blank, added_run_s: 0 }');
    const { parse } = await import('yaml');
    expect(parse(text)).toEqual(run);
  });

  it('keeps comments, order and what did not change', () => {
    const before = runText(run, null)
      .replace('timing:', '# every 20 s\ntiming:')
      .replace('added_run_s: 0 }', 'added_run_s: 0 } # first');
    expect(runText(run, before)).toBe(before);
    const after = runText({ ...run, name: 'lot-08', read_at_s: 600 }, before);
    expect(after).toContain('# every 20 s\ntiming:');
    expect(after).toContain('added_run_s: 0 } # first');
    expect(after).toContain('name: lot-08');
  });
});

describe('checking before saving', () => {
  it('finds nothing wrong with a right pair, and names the key of what is', () => {
    expect(checkFiles(rig, run, '/')).toEqual([]);
    const vial = (run['vials'] as readonly PlainObject[])[0]!;
    const problems = checkFiles(rig, { ...run, vials: [{ ...vial, role: 'sample' }], reaction: 'acid-dichromat' }, '/');
    expect(problems.map(({ key }) => key)).toEqual(['vials', 'reaction']);
    expect(problems[1]!.message).toContain('did you mean "acid-dichromate"');
    expect(checkFiles(rig, { ...run, name: 'a/b' }, '/')[0]).toMatchObject({ file: 'run', key: 'name' });
    expect(checkFiles({ ...rig, regions: [] }, run, '/')[0]).toMatchObject({ file: 'rig', key: 'regions' });
  });

  it('takes no run file outside the folder of the rig', () => {
    for (const name of ['', '../run.yaml', 'a/run.yaml', 'C:\\run.yaml', '.run.yaml', 'run.txt', 'a\u0000.yaml']) {
      expect(runFileProblem(name), name).not.toBeNull();
    }
    expect(runFileProblem('lot-08.yaml')).toBeNull();
  });
});
