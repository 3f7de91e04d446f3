import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadSavedPath, loadTemperature, nearest, savedPathText, type SavedPath } from '../../src/files/index.ts';
import { refusal, workspace } from './workspace.ts';

const root = workspace();
const file = (name: string, text: string): string => {
  writeFileSync(path.join(root, name), text);
  return path.join(root, name);
};

describe('loadTemperature', () => {
  it("reads a probe's table", async () => {
    expect(await loadTemperature(file('t.csv', 'run_s,temperature_c\r\n0,21.5\r\n60,21.75\r\n\r\n'))).toEqual({
      runS: [0, 60],
      temperatureC: [21.5, 21.75],
    });
  });

  it.each([
    ['other columns', 'time,temp\n0,20\n', 'temperature-header', 1],
    ['no number', 'run_s,temperature_c\n0,20\n60,warm\n', 'temperature-row', 3],
    ['a hole', 'run_s,temperature_c\n0,\n', 'temperature-row', 2],
    ['a third column', 'run_s,temperature_c\n0,20,1\n', 'temperature-row', 2],
    ['kelvin', 'run_s,temperature_c\n0,294\n', 'out-of-range', 2],
    ['times that fall', 'run_s,temperature_c\n60,20\n0,20\n', 'temperature-order', 3],
    ['no rows', 'run_s,temperature_c\n', 'temperature-empty', 1],
  ])('refuses %s by line', async (_, text, code, line) => {
    expect((await refusal(loadTemperature(file('t.csv', text)))).details).toMatchObject({ code, line });
  });
});

describe('a saved path', () => {
  const saved: SavedPath = {
    rigName: 'left bench',
    reaction: 'acid-dichromate',
    madeFrom: 'calibration',
    path: {
      source: 'saved',
      pins: ['extent 0: A1 (blank)'],
      pinnedStart: true,
      pinnedEnd: true,
      extent: [0, 0.5, 1],
      linearRgb: [
        [0.5, 0.25, 0],
        [0.25, 0.25, 0.125],
        [0.125, 0.25, 0.125],
      ],
      residual: 0.002,
      extentError: null,
      draws: [[0, 0.01, 0]],
      notes: [],
    },
  };

  it('comes back as it was written', async () => {
    expect(await loadSavedPath(file('path.json', savedPathText(saved)))).toEqual(saved);
  });

  it('is refused when its tables do not fit', async () => {
    const bad = (extent: readonly number[]): string =>
      file('bad.json', savedPathText({ ...saved, path: { ...saved.path, extent } }));
    expect((await refusal(loadSavedPath(bad([0, 1])))).code).toBe('path-lengths');
    expect((await refusal(loadSavedPath(bad([0, 1, 0.5])))).code).toBe('path-order');
  });
});

describe('nearest', () => {
  it.each([
    ['lable', 'label'],
    ['Interval', 'interval_s'],
    ['specd', 'speed'],
    ['zebra', null],
    ['x', null],
  ])('for %s gives %s', (word, expected) => {
    expect(nearest(word, ['label', 'interval_s', 'speed', 'region'])).toBe(expected);
  });
});
