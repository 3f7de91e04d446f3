import { describe, expect, it } from 'vitest';
import type { Region } from '../../../src/model/region.ts';
import type { Start } from '../../../src/rig-page/messages.ts';
import {
  addPatch,
  addVials,
  duplicate,
  removeRegions,
  renameRegion,
  setRun,
  setVial,
} from '../../../src/rig-page/page/state/edits.ts';
import { fillDown, pasteBlock } from '../../../src/rig-page/page/state/fill.ts';
import { apply, redo, startHistory, undo } from '../../../src/rig-page/page/state/history.ts';
import { openSheet } from '../../../src/rig-page/page/state/open-files.ts';
import { rigFile, runFile } from '../../../src/rig-page/page/state/write-files.ts';
import { runTimeOf } from '../../../src/rig-page/page/text/run-time.ts';
import { clockText, parseTime } from '../../../src/rig-page/page/text/time-text.ts';

const start: Start = {
  source: {
    ...{ name: 'night two.mp4', kind: 'video', width: 960, height: 540, frames: 481 },
    ...{ sampleSide: 2, transferTag: null },
    ...{ playbackS: 16, clockLengthS: null, notes: [] },
  },
  files: { rig: 'rig.json', run: 'run.yaml' },
  references: { source: '../night two.mp4', rig: 'rig.json' },
  rig: null,
  run: null,
  reactions: [{ name: 'acid-dichromate', title: 'acidic dichromate' }],
  find: false,
};
const region = (id: string): Region => ({ id, shape: 'rect', x: 1, y: 2, width: 30, height: 40 });
const ids = ['A1', 'A2', 'A3'];
const placed = addVials(ids.map(region))(openSheet(start));

describe('edits', () => {
  it('keep a vial for every region, through renaming and removing', () => {
    const named = setVial('A2', 'label', '1-butanol')(placed);
    const renamed = renameRegion('A2', 'left')(named);
    expect(renamed.regions.map(({ id }) => id)).toEqual(['A1', 'left', 'A3']);
    expect(renamed.vials['left']?.label).toBe('1-butanol');
    const removed = removeRegions(['left'])(renamed);
    expect(Object.keys(removed.vials)).toEqual(['A1', 'A3']);
  });

  it('refuse a name that a vial or a patch has', () => {
    const patched = addPatch(region('W1'))(placed);
    expect(renameRegion('A1', 'A3')(patched)).toBe(patched);
    expect(renameRegion('A1', 'W1')(patched)).toBe(patched);
  });

  it('duplicate under free names, role kept, label not', () => {
    const named = setVial('A2', 'role', 'negative')(setVial('A2', 'label', 'clean')(placed));
    const copied = duplicate(named, ['A2'], 10);
    expect(copied.ids).toEqual(['A4']);
    expect(copied.sheet.vials['A4']).toMatchObject({ role: 'negative', label: '' });
  });
});

describe('undo', () => {
  it('takes a whole gesture back, and redo brings it again', () => {
    const begun = startHistory(placed);
    const typed = apply(apply(begun, setVial('A1', 'label', 'b'), 'type'), setVial('A1', 'label', 'bl'), 'type');
    expect(typed.past).toHaveLength(1);
    expect(undo(typed).sheet).toBe(placed);
    expect(redo(undo(typed)).sheet).toBe(typed.sheet);
    const other = apply(undo(typed), setVial('A3', 'label', 'x'));
    expect(redo(other)).toBe(other);
  });

  it('is not filled by edits that change nothing', () => {
    const begun = startHistory(placed);
    expect(apply(begun, setVial('A1', 'label', ''))).toBe(begun);
  });
});

describe('filling', () => {
  it('copies a cell down, and goes on with the step of added times', () => {
    const roles = fillDown(ids, 'A1', 'role')(setVial('A1', 'role', 'blank')(placed));
    expect(ids.map((id) => roles.vials[id]!.role)).toEqual(['blank', 'blank', 'blank']);
    const times = fillDown(ids, 'A2', 'added')(setVial('A2', 'added', '12.5')(setVial('A1', 'added', '0')(placed)));
    expect(times.vials['A3']!.added).toBe('25');
    const clocks = fillDown(ids, 'A2', 'added')(setVial('A2', 'added', '1:30')(setVial('A1', 'added', '1:00')(placed)));
    expect(clocks.vials['A3']!.added).toBe('2:00');
  });

  it('spreads a pasted block, leaves out words that are no role, and stops at the last vial', () => {
    const pasted = pasteBlock(ids, 'A2', 'label', 'clean\tNegative\t10\nlot 7\tsolvent\t20\nlost\tblank\t0\n')(placed);
    expect(pasted.vials['A2']).toMatchObject({ label: 'clean', role: 'negative', added: '10' });
    expect(pasted.vials['A3']).toMatchObject({ label: 'lot 7', role: 'sample', added: '20' });
    expect(pasted.vials['A1']).toEqual(placed.vials['A1']);
  });
});

describe('times as typed', () => {
  it.each([
    ['90', 90],
    ['1:30', 90],
    ['2:00:00', 7200],
    ['90 s', 90],
    ['1,5 h', 5400],
    ['2 h 30 min', 9000],
    ['soon', null],
    ['', null],
    ['1:99', null],
    ['5 h x', null],
  ])('%s', (text, seconds) => expect(parseTime(text)).toBe(seconds));

  it('are shown as a clock', () => {
    expect([0, 59.6, 3600, -75].map(clockText)).toEqual(['0:00', '1:00', '1:00:00', '-1:15']);
  });
});

describe('the files', () => {
  const timed = setRun('timingValue', '20 s')(setRun('readAt', '2 h')(placed));

  it('hold what was typed, and leave out what was not', () => {
    const sheet = setVial('A2', 'added', '1:30')(setVial('A2', 'role', 'negative')(timed));
    const { run, problems } = runFile(sheet, start);
    expect(problems).toEqual([]);
    expect(run).toEqual({
      schema: 'vialapse/run@1',
      name: 'night two',
      rig: 'rig.json',
      source: '../night two.mp4',
      timing: { interval_s: 20 },
      reaction: 'acid-dichromate',
      read_at_s: 7200,
      vials: [
        { region: 'A1', label: 'A1', role: 'sample' },
        { region: 'A2', label: 'A2', role: 'negative', added_run_s: 90 },
        { region: 'A3', label: 'A3', role: 'sample' },
      ],
    });
    expect(rigFile(sheet, start)).toMatchObject({ frame: { width: 960, height: 540 }, name: 'bench' });
  });

  it('say which field is no value yet', () => {
    const sheet = setVial('A2', 'role', 'standard')(setVial('A1', 'added', 'later')(placed));
    expect(runFile(sheet, start).problems.map(({ key }) => key)).toEqual([
      'timing',
      'vials[0].added_run_s',
      'vials[1].level_mol_percent',
    ]);
  });

  it('turn the length of a film into its speed', () => {
    const sheet = setRun('timingValue', '8 h')(setRun('timing', 'lasted')(placed));
    expect(runFile(sheet, start).run['timing']).toEqual({ speed: 1800 });
    expect(runTimeOf(480, sheet.run, start)).toBe(28_800);
  });

  it('come back as they were, with keys that the page does not show', () => {
    const run = {
      ...runFile(setVial('A2', 'role', 'negative')(timed), start).run,
      dose: { reagent_ml: 0.5 },
      events: [{ at_run_s: 60, what: 'lamp moved' }],
    };
    const opened = openSheet({ ...start, rig: rigFile(timed, start), run });
    expect(runFile(opened, start).run).toEqual(run);
  });
});
