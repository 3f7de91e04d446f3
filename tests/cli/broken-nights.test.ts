import { mkdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { encodeJpeg, encodeVideo } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import type { Result } from '../../src/model/result.ts';
import { createScenario, exampleRun, simulateFrames } from '../../src/simulate/index.ts';
import { bench, vialapse } from './bench.ts';
import { during, lightsOff, mist, nightMode, outOfFocus } from './troubles.ts';

/** One modelled night: a rack of five vials, 60 frames, 150 s apart. */
const scenario = createScenario({
  name: 'night',
  seed: 5,
  frame: { width: 320, height: 160 },
  frameCount: 60,
  intervalS: 150,
  rack: { rows: 1, columns: 5 },
  reading: { readAtS: 7200 },
  vials: [
    { label: 'reagent only', role: 'blank', kinetics: { model: 'none' } },
    { label: '2-butanol', role: 'positive', kinetics: { model: 'first-order', k: 1.2e-3 } },
    { label: 'tert-butanol', role: 'negative', kinetics: { model: 'zero-order', rate: 5e-7 } },
    { label: 'tert-butanol', role: 'negative', kinetics: { model: 'zero-order', rate: 5e-7 } },
    { label: 'recovered lot 3', role: 'sample', kinetics: { model: 'first-order', k: 3e-4 } },
  ],
});
const positive = 1;
const lot = 4;
const root = bench();
let images: readonly RgbImage[];
let whole: Result;

async function film(file: string, pictures: readonly RgbImage[]): Promise<void> {
  await encodeVideo({ file, ...scenario.frame, framesPerSecond: 10, crf: 14, keyFrameEvery: 12 }, pictures);
}

/** A folder with a run on this source; the run file. */
function runOn(folder: string, source: unknown, timing?: object): string {
  const { run, rig } = exampleRun(scenario, { source: 'film.mp4', rig: 'rig.json' });
  writeFileSync(path.join(folder, 'rig.json'), JSON.stringify(rig));
  const file = path.join(folder, 'run.yaml');
  writeFileSync(file, JSON.stringify({ ...run, source, ...(timing === undefined ? {} : { timing }) }));
  return file;
}

function folder(name: string): string {
  const made = path.join(root, name);
  mkdirSync(made);
  return made;
}

async function analysed(run: string): Promise<Result> {
  const { code, out, err } = await vialapse('analyse', run, '--json');
  expect([0, 3], err).toContain(code);
  return JSON.parse(out) as Result;
}

/** The lot's verdict is the undisturbed night's, and its extent at the reading time within `tolerance`. */
function expectAsWhole(result: Result, tolerance: number): void {
  expect(result.samples.map(({ outcome }) => outcome)).toEqual(['reacted']);
  const read = (of: Result, vial: number): number => of.vials[vial]!.extent.at_read!.value;
  for (const vial of [positive, lot]) expect(Math.abs(read(result, vial) - read(whole, vial))).toBeLessThan(tolerance);
}

beforeAll(async () => {
  images = [...simulateFrames(scenario)];
  const at = folder('whole');
  await film(path.join(at, 'film.mp4'), images);
  whole = await analysed(runOn(at, 'film.mp4'));
});

describe('a night in which all went wrong', () => {
  it('leaves out the frames in question by reason, judges by the rest, and preview shows them', async () => {
    const blocked = [{ fromRunS: 0, toRunS: 400 }];
    let night: readonly RgbImage[] = [
      ...simulateFrames({ ...scenario, disturbances: { ...scenario.disturbances, blocked } }),
    ];
    night = during(night, 16, 22, lightsOff);
    night = during(night, 30, 33, nightMode);
    night = during(night, 40, 41, outOfFocus);
    night = during(night, 52, 55, mist);
    const at = folder('troubled');
    await film(path.join(at, 'film.mp4'), night);
    const run = runOn(at, 'film.mp4');
    const result = await analysed(run);
    const reasons = new Map(result.run.frames.rejected.map(({ index, reason }) => [index, reason]));
    const wrong = [0, 1, 2, 16, 17, 18, 19, 20, 21, 22, 30, 31, 32, 33, 40, 41, 52, 53, 54, 55];
    expect([...reasons.keys()]).toEqual(wrong);
    expect(reasons.get(1)).toMatch(/something was before/);
    expect(reasons.get(20)).toBe('the light was off');
    expect(reasons.get(31)).toMatch(/night mode/);
    expect(reasons.get(40)).toMatch(/out of focus/);
    expectAsWhole(result, 0.04);

    const preview = await vialapse('preview', run);
    expect(preview.code).toBe(0);
    const said = preview.err.replaceAll(/\s+/g, ' ');
    expect(said).toMatch(/7 of 60 frames looked at cannot be used: frames 16 to 22 \(from 40 min\): the light was off/);
    expect(said).toMatch(/frames 30 to 33 \(from 1 h 15 min\): the picture has no colour/);
    expect(said).toMatch(/frames 0 to 2, frames 52 to 55 \(from 0 s\): something was before/);
    expect(said).toMatch(/Frames in question: .*night-preview-frames\.png/);
    expect(readFileSync(path.join(at, 'night-preview-frames.png')).subarray(1, 4).toString()).toBe('PNG');
  });
});

describe('several files', () => {
  it('a film, a pause, and a film that a power cut ended: read as far as it goes, the gap told', async () => {
    const at = folder('parts');
    await film(path.join(at, 'a.mp4'), images.slice(0, 30));
    // Three frames are missing between the files.
    await film(path.join(at, 'b.mkv'), images.slice(33));
    truncateSync(path.join(at, 'b.mkv'), Math.floor(0.93 * readFileSync(path.join(at, 'b.mkv')).length));
    const source = [
      { file: 'a.mp4', starts_run_s: 0 },
      { file: 'b.mkv', starts_run_s: 33 * scenario.intervalS },
    ];
    const result = await analysed(runOn(at, source));
    const { used } = result.run.frames;
    expect(used).toBeGreaterThan(48);
    expect(used).toBeLessThan(57);
    expect(result.run.assumptions.join('\n')).toMatch(/no frames between 4350\.0 s \(end of a\.mp4\) and 4950\.0 s/);
    expectAsWhole(result, 0.04);
  });

  it('an MP4 that a power cut left without its index is read with the help of the film before it', async () => {
    const at = folder('unfinished');
    await film(path.join(at, 'a.mp4'), images.slice(0, 30));
    await film(path.join(at, 'b.mp4'), images.slice(30));
    truncateSync(path.join(at, 'b.mp4'), Math.floor(0.9 * readFileSync(path.join(at, 'b.mp4')).length));
    const run = runOn(at, [{ file: 'a.mp4' }, { file: 'b.mp4' }]);
    const result = await analysed(run);
    const { used } = result.run.frames;
    expect(used).toBeGreaterThan(48);
    expect(used).toBeLessThan(60);
    expectAsWhole(result, 0.04);
    const [told] = result.checks.filter(({ code }) => code === 'video-breaks-off');
    expect(told?.status).toBe('warn');
    expect(told?.message).toMatch(/b\.mp4: the film breaks off: it was never finished/);
    const { err } = await vialapse('preview', run);
    expect(err.replaceAll(/\s+/g, ' ')).toMatch(/b\.mp4: the film breaks off.*taken from a\.mp4/);
  });

  it('an MP4 without its index is named as such by preview and analyse', async () => {
    const at = folder('cut');
    await film(path.join(at, 'film.mp4'), images.slice(0, 20));
    truncateSync(path.join(at, 'film.mp4'), Math.floor(0.7 * readFileSync(path.join(at, 'film.mp4')).length));
    const run = runOn(at, 'film.mp4');
    for (const verb of ['preview', 'analyse']) {
      const { code, err } = await vialapse(verb, run);
      expect(code, verb).toBe(2);
      expect(err.replaceAll(/\s+/g, ' '), verb).toMatch(/film\.mp4: .*power cut.*index is missing.*to do:/);
    }
  });
});

describe('the clock of the camera', () => {
  /** 60 stills over the end of daylight saving: the clock shows 02:59 and then 02:01. */
  async function stills(at: string, missing: readonly number[]): Promise<void> {
    mkdirSync(path.join(at, 'stills'));
    const start = Date.UTC(2026, 9, 25, 1, 29, 0);
    const jump = 36;
    for (const [index, image] of images.entries()) {
      if (missing.includes(index)) continue;
      const shown = new Date(start + 1000 * (index * scenario.intervalS - (index >= jump ? 3600 : 0))).toISOString();
      const exif = { dateTimeOriginal: shown.slice(0, 19).replaceAll('-', ':').replace('T', ' ') };
      const name = `IMG_${String(index + 1).padStart(4, '0')}.jpg`;
      writeFileSync(path.join(at, 'stills', name), await encodeJpeg(image, { quality: 95, exif }));
    }
  }

  it('with an hour put back and pictures missing gives the half-times of an even interval', async () => {
    const [even, clocked] = [folder('even'), folder('clocked')];
    await stills(even, []);
    await stills(clocked, [12, 13, 25, 44]);
    const byInterval = await analysed(runOn(even, 'stills', { interval_s: scenario.intervalS }));
    const byClock = await analysed(runOn(clocked, 'stills', { clock: 'exif' }));
    expect(byClock.run.duration_s).toBe(byInterval.run.duration_s);
    expect(byClock.checks).toContainEqual(expect.objectContaining({ code: 'clock-hour-back', status: 'warn' }));
    for (const vial of [positive, lot]) {
      const of = (result: Result) => result.vials[vial]!.fit.half_time_s!;
      const [low, high] = of(byInterval).ci95;
      expect(of(byClock).value, `${vial}`).toBeGreaterThan(low!);
      expect(of(byClock).value, `${vial}`).toBeLessThan(high!);
    }
    // A clock taken at its word, or an interval over missing pictures, would move it by far more than this.
    expectAsWhole(byClock, 0.04);
  });

  it('tells of an interval_s that it does not agree with, and takes readings of a true clock', async () => {
    const at = folder('odd');
    await stills(at, []);
    const wrong = await vialapse('preview', runOn(at, 'stills', { interval_s: 120 }));
    expect(wrong.err.replaceAll(/\s+/g, ' ')).toMatch(
      /interval_s is 120 s, but by the camera's clock .* 150\.00 s apart/,
    );
    const readings = [
      { camera: '2026-10-25T01:29:00', actual: '2026-10-25T01:20:00' },
      { camera: '2026-10-25T03:09:00', actual: '2026-10-25T02:59:00' },
    ];
    const run = runOn(at, 'stills', { clock: 'exif', clock_readings: readings });
    const { code, out } = await vialapse('preview', run, '--json');
    expect(code).toBe(0);
    const { source } = JSON.parse(out) as { source: { durationS: number; notes: { message: string }[] } };
    expect(source.durationS).toBeCloseTo((59 * scenario.intervalS * 99) / 100, 6);
    expect(source.notes.map(({ message }) => message).join('\n')).toMatch(/ran \d+ parts in a million fast/);
  });
});
