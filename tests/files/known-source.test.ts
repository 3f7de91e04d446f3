import { mkdtempSync, renameSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { readKnownSource, watchSource, type SourceQuestion } from '../../src/files/index.ts';
import type { SourceInfo } from '../../src/model/frame.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-known-'));
const cacheDir = path.join(folder, '.vialapse');
const film = path.join(folder, 'film.mp4');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const question: SourceQuestion = {
  parts: [{ file: film, startsRunS: null }],
  timing: { kind: 'interval', intervalS: 20 },
  baseDir: folder,
  ...{ glance: false, untilRunS: null, version: '1', measuringId: 'a', decoders: ['/usr/bin/ffmpeg 80 1'] },
};
const info: SourceInfo = {
  ...{ kind: 'video', width: 16, height: 16, frameCount: 2, durationS: 20, codec: 'h264', bitDepth: 8 },
  ...{ chromaSubsampled: true, transferTag: null, conversion: 'x', decoder: 'd', notes: [] },
  inputs: [{ path: 'film.mp4', sha256: 'a'.repeat(64) }],
};

beforeAll(async () => {
  writeFileSync(film, 'abcd');
  const young = await watchSource(cacheDir, question);
  await young.keep(info);
  expect(await readKnownSource(cacheDir, question), 'just written: not trusted').toBeNull();
  await wait(3100);
  const settled = await watchSource(cacheDir, question);
  await settled.keep(info);
}, 20_000);

it('knows an unchanged film, and only for the question it was asked', async () => {
  expect(await readKnownSource(cacheDir, question)).toEqual(info);
  expect(await readKnownSource(cacheDir, { ...question, glance: true })).toBeNull();
  expect(await readKnownSource(cacheDir, { ...question, measuringId: 'b' })).toBeNull();
  expect(await readKnownSource(cacheDir, { ...question, decoders: ['/usr/bin/ffmpeg 81 1'] })).toBeNull();
});

it('does not know a film that was changed in place with its time set back', async () => {
  const now = new Date(Date.now() - 60_000);
  writeFileSync(film, 'abce');
  utimesSync(film, now, now);
  expect(await readKnownSource(cacheDir, question)).toBeNull();
});

it('does not keep a film that was exchanged while it was read', async () => {
  const watched = await watchSource(cacheDir, question);
  writeFileSync(path.join(folder, 'other'), 'wxyz');
  renameSync(path.join(folder, 'other'), film);
  await watched.keep(info);
  expect(await readKnownSource(cacheDir, question)).toBeNull();
});
