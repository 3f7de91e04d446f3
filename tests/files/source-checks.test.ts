import { describe, expect, it } from 'vitest';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import type { UserError } from '../../src/errors.ts';
import { loadRun } from '../../src/files/index.ts';
import { changedLines, refusal, runText, workspace, writeRun } from './workspace.ts';

const folder = workspace();
for (const name of ['a.mp4', 'b.mp4']) writeFileSync(path.join(folder, name), 'film');

async function refused(from: string, to: string): Promise<UserError> {
  expect(runText).toContain(from);
  return refusal(loadRun(writeRun(folder, { run: runText.replace(from, to) })));
}

const source = 'source: overnight.mp4';
const timing = 'timing: { interval_s: 20 }';
const reading = (camera: string): string =>
  `timing: { clock: exif, clock_readings: [{ camera: ${camera}, actual: 2026-03-01T18:00 }] }`;

describe('lists of files', () => {
  it.each([
    ['a file twice', source, 'source: [{ file: a.mp4 }, { file: ./a.mp4 }]', 'part-twice', 'source[1].file'],
    [
      'parts against time',
      source,
      'source: [{ file: b.mp4, starts_run_s: 900 }, { file: a.mp4, starts_run_s: 0 }]',
      'parts-unordered',
      'source[1].starts_run_s',
    ],
  ])('refuses %s', async (_, from, to, code, key) => {
    expect((await refused(from, to)).details).toMatchObject({ code, key, line: 4 });
  });

  it('takes parts in order, with and without their starts', async () => {
    const run = runText.replace(source, 'source: [{ file: a.mp4, starts_run_s: 10 }, { file: b.mp4 }]');
    expect((await loadRun(writeRun(folder, { run }))).source.map(({ startsRunS }) => startsRunS)).toEqual([10, null]);
  });
});

describe('a list of plain names', () => {
  it('is read like one of entries, also mixed with them', async () => {
    const run = runText.replace(source, 'source: [a.mp4, { file: b.mp4, starts_run_s: 60 }]');
    expect((await loadRun(writeRun(folder, { run }))).source).toEqual([
      { file: path.join(folder, 'a.mp4'), startsRunS: null },
      { file: path.join(folder, 'b.mp4'), startsRunS: 60 },
    ]);
  });

  it.each([
    ['a name twice', 'source: [a.mp4, ./a.mp4]', 'part-twice', 'source[1]', null],
    ['a name that is not there', 'source: [a.mp4, c.mp4]', 'file-missing', 'source[1]', null],
    ['a number', 'source: [a.mp4, [1]]', null, 'source[1]', /a name, or \{ file: a name, starts_run_s: seconds \}/],
    ['an entry alone', 'source: { file: a.mp4 }', null, 'source', /a film, a folder, a pattern, or a list of them/],
    ['a wrong key', 'source: [a.mp4, { file: b.mp4, start_run_s: 3 }]', 'unknown-key', 'source[1].start_run_s', null],
  ])('refuses %s by its key', async (_, to, code, key, expected) => {
    const { details } = await refused(source, to);
    expect(details).toMatchObject({ key, line: 4 });
    if (code !== null) expect(details.code).toBe(code);
    if (expected !== null) expect(details.expected).toMatch(expected);
  });
});

describe('numbers, dates and keys that no bench has', () => {
  it.each([
    ['an interval beyond all time', timing, 'timing: { interval_s: 1e308 }', 'out-of-range'],
    ['an interval of nothing worth', timing, 'timing: { interval_s: 1e-300 }', 'out-of-range'],
    ['a speed beyond all time', timing, 'timing: { speed: 1e300 }', 'out-of-range'],
    ['a number too large to be one', timing, 'timing: { interval_s: 1e999 }', 'wrong-type'],
    ['a reading time of ages', 'name: lot-07', 'name: lot-07\nread_at_s: 1e15', 'out-of-range'],
    ['a dose after ages', 'added_run_s: 20', 'added_run_s: 9e99', 'out-of-range'],
    ['a word for a number', 'added_run_s: 20', 'added_run_s: yes', 'wrong-type'],
    ['30 February', timing, reading('2026-02-30T18:00'), 'no-such-date'],
    ['25 o’clock', timing, reading('2026-02-03T25:00'), 'no-such-date'],
    ['a merge key', 'name: lot-07', 'name: lot-07\n<<: { alpha: 0.2 }', 'unknown-key'],
    ['a key twice inside', 'role: sample', 'role: sample\n    role: negative', 'duplicate-key'],
  ])('refuses %s', async (_, from, to, code) => {
    const error = await refused(from, to);
    expect(error.details.code, error.message).toBe(code);
    const [first, last] = changedLines(runText, runText.replace(from, to));
    expect(error.details.line).toBeGreaterThanOrEqual(first);
    expect(error.details.line).toBeLessThanOrEqual(last);
  });

  it.each([
    ['2026-03-01', '2026-03-01'],
    ['0x1F', '0x1F'],
    ['007', '007'],
    ['!!js/function "x"', 'x'],
  ])('a name is text, whatever else it looks like: %s', async (written, name) => {
    expect((await loadRun(writeRun(folder, { run: runText.replace('lot-07', written) }))).name).toBe(name);
  });

  it('refuses devices, which would be read for ever', async () => {
    expect((await refused('rig: rig.json', 'rig: /dev/zero')).code).toBe('not-a-file');
    await expect(loadRun('/dev/zero')).rejects.toMatchObject({ code: 'not-a-file' });
  });

  it('says what to do with a film, or with the folder of a run, in place of a run file', async () => {
    const film = path.join(folder, 'night.mp4');
    writeFileSync(film, Uint8Array.of(0, 0, 0, 0x20, 0x66, 0x74, 0x79, 0x70, 0xff, 0xfe));
    await expect(loadRun(film)).rejects.toThrow(/a run file was expected[^]*vialapse rig .*night\.mp4/);
    writeRun(folder, {});
    await expect(loadRun(folder)).rejects.toThrow(/this is a folder[^]*name the run file: .*run\.yaml/);
  });
});
