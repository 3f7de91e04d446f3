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
