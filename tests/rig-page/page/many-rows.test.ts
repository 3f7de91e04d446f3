import { describe, expect, it } from 'vitest';
import type { Region } from '../../../src/model/region.ts';
import type { Start } from '../../../src/rig-page/messages.ts';
import { addVials, setRun, setVial, type Edit } from '../../../src/rig-page/page/state/edits.ts';
import { fillAdded, groupByLabel } from '../../../src/rig-page/page/state/fill.ts';
import { openSheet } from '../../../src/rig-page/page/state/open-files.ts';
import { runFile } from '../../../src/rig-page/page/state/write-files.ts';
import { nextStep } from '../../../src/rig-page/page/text/next-step.ts';

const start: Start = {
  source: {
    ...{ name: 'night.mp4', kind: 'video', width: 960, height: 540, frames: 481, sampleSide: 2, transferTag: null },
    ...{ playbackS: 16, clockLengthS: null, notes: [] },
  },
  files: { rig: 'rig.json', run: 'run.yaml' },
  references: { source: 'night.mp4', rig: 'rig.json' },
  ...{ rig: null, run: null, reactions: [{ name: 'acid-dichromate', title: 'acidic dichromate' }], find: false },
};
const ids = ['A1', 'A2', 'A3', 'A4'];
const place = addVials(ids.map((id): Region => ({ id, shape: 'rect', x: 1, y: 2, width: 30, height: 40 })));
const placed = place(openSheet(start));
const all = (...edits: readonly Edit[]) => edits.reduce((sheet, edit) => edit(sheet), placed);

describe('filling many rows', () => {
  it('gives times of dosing one after the other', () => {
    const filled = fillAdded(ids, 5, 12.5)(placed);
    expect(ids.map((id) => filled.vials[id]!.added)).toEqual(['5', '17.5', '30', '42.5']);
  });

  it('joins samples of the same label, and leaves references and single samples alone', () => {
    const grouped = all(
      setVial('A1', 'label', 'lot 07'),
      setVial('A2', 'label', 'lot 07 '),
      setVial('A3', 'label', 'lot 11'),
      setVial('A4', 'label', 'lot 07'),
      setVial('A4', 'role', 'negative'),
      groupByLabel,
    );
    expect(ids.map((id) => grouped.vials[id]!.group)).toEqual(['lot 07', 'lot 07', '', '']);
  });
});

describe('roles with a value of their own', () => {
  it('write level, extent and identity, and ask for what is missing', () => {
    const sheet = all(
      setRun('timingValue', '20'),
      setVial('A1', 'role', 'standard'),
      setVial('A1', 'value', '0,5'),
      setVial('A2', 'role', 'mixture'),
      setVial('A2', 'value', '0.25'),
      setVial('A3', 'role', 'known'),
      setVial('A3', 'value', '2-butanol'),
    );
    const { run, problems } = runFile(sheet, start);
    expect(problems).toEqual([]);
    expect(run['vials']).toMatchObject([
      { region: 'A1', role: 'standard', level_mol_percent: 0.5 },
      { region: 'A2', role: 'mixture', extent: 0.25 },
      { region: 'A3', role: 'known', identity: '2-butanol' },
      { region: 'A4', role: 'sample' },
    ]);
    const missing = runFile(setVial('A2', 'value', '')(sheet), start).problems[0];
    expect(missing).toMatchObject({ key: 'vials[1].extent' });
    expect(missing?.message).toContain('such as 0.5');
  });
});

describe('what is next', () => {
  it('leads from an empty sheet to saving', () => {
    expect(nextStep(openSheet(start), start)).toBe('place the vials');
    expect(nextStep(placed, start)).toBe('say how the frames are timed');
    const timed = all(setRun('timingValue', '20 s'));
    expect(nextStep(timed, start)).toContain('blank, positive and negative');
    expect(nextStep(setVial('A1', 'role', 'blank')(timed), start)).toBeNull();
  });
});

describe('the curve of the picture', () => {
  it('is written only where it is not the usual one, and opened again', () => {
    const sheet = all(setRun('timingValue', '20'));
    expect(runFile(sheet, start).run).not.toHaveProperty('transfer');
    const tagged = runFile(setRun('transfer', 'tagged')(sheet), start).run;
    expect(tagged['transfer']).toBe('tagged');
    expect(openSheet({ ...start, run: tagged }).run.transfer).toBe('tagged');
  });
});
