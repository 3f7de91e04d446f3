import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { startRigText, startRunText } from '../../src/cli/start-files.ts';
import type { SourceInfo } from '../../src/model/frame.ts';
import { openSession } from '../../src/rig-page/index.ts';
import { openSheet } from '../../src/rig-page/page/state/open-files.ts';
import { drawnAccess, drawnSize } from './drawn-rack.ts';
import { temporaryFolder } from './serve.ts';

const info = { kind: 'video', ...drawnSize, frameCount: 40, durationS: 4 } as unknown as SourceInfo;

it.each([
  ['without times', null, ''],
  ['with the interval given', 20, '20'],
])('opens what start wrote, half filled as it is: %s', async (_, times, wanted) => {
  const folder = temporaryFolder();
  const [sourceFile, rigFile] = [path.join(folder, 'overnight.mp4'), path.join(folder, 'rig.json')];
  writeFileSync(sourceFile, '');
  writeFileSync(rigFile, startRigText('bench two', info));
  writeFileSync(path.join(folder, 'run.yaml'), startRunText({ name: 'night', source: 'overnight.mp4', info, times }));
  const start = await openSession(drawnAccess().facts, { sourceFile, rigFile }, false);
  const sheet = openSheet(start);
  expect(start.files).toEqual({ rig: 'rig.json', run: 'run.yaml' });
  expect(sheet).toMatchObject({ rigName: 'bench two', regions: [] });
  expect(sheet.run).toMatchObject({ name: 'night', file: 'run.yaml', timing: 'interval', timingValue: wanted });
});

it('leaves the run of another film alone and takes a free name', async () => {
  const folder = temporaryFolder();
  const [sourceFile, rigFile] = [path.join(folder, 'overnight.mp4'), path.join(folder, 'rig.json')];
  writeFileSync(path.join(folder, 'run.yaml'), startRunText({ name: 'other', source: 'other.mp4', info, times: 20 }));
  const start = await openSession(drawnAccess().facts, { sourceFile, rigFile }, false);
  expect(start.run).toBeNull();
  expect(start.files.run).toBe('overnight.yaml');
});

it('has the page look for vials by itself only while none is placed', async () => {
  const folder = temporaryFolder();
  const files = { sourceFile: path.join(folder, 'overnight.mp4'), rigFile: path.join(folder, 'rig.json') };
  const { facts } = drawnAccess();
  const finds = async (asked: boolean | null): Promise<boolean> => (await openSession(facts, files, asked)).find;
  expect(await finds(null)).toBe(true);
  expect(await finds(false)).toBe(false);
  const empty = JSON.parse(startRigText('bench two', info)) as object;
  writeFileSync(files.rigFile, JSON.stringify(empty));
  expect(await finds(null)).toBe(true);
  const regions = [{ id: 'A1', shape: 'rect', x: 100, y: 100, width: 40, height: 60 }];
  writeFileSync(files.rigFile, JSON.stringify({ ...empty, regions }));
  expect(await finds(null)).toBe(false);
  expect(await finds(true)).toBe(true);
});
