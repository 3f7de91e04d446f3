import { mkdirSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { encodeJpeg, type ExifFacts } from '../../src/frames/index.ts';
import type { Timing } from '../../src/model/run.ts';
import { collect, crops, open, picture, scratch } from './media.ts';

const at = scratch();

describe('camera clocks', () => {
  const clock: Timing = { kind: 'clock-exif', readings: [] };
  const timed = async (name: string, times: readonly ExifFacts[], timing: Timing = clock) => {
    mkdirSync(at(name));
    for (const [i, exif] of times.entries())
      writeFileSync(at(`${name}/${i}.jpg`), await encodeJpeg(picture(i), { quality: 60, exif }));
    const source = await open(at(name), timing);
    const frames = await collect(source, [crops[0]!]);
    return {
      source,
      frames,
      times: frames.map((frame) => (frame.kind === 'frame' ? Math.round(frame.timeRunS * 1000) / 1000 : null)),
    };
  };
  const day = (time: string, more: ExifFacts = {}): ExifFacts => ({ dateTimeOriginal: `2026:10:25 ${time}`, ...more });

  it('reads fractions of a second and keeps real gaps', async () => {
    const { times } = await timed('fractions', [
      day('10:00:00', { subSec: '05' }),
      day('10:00:20', { subSec: '5' }),
      day('10:01:40'),
    ]);
    expect(times).toEqual([0, 20.45, 99.95]);
  });

  it('follows the offset over the end of daylight saving', async () => {
    const { times, source } = await timed('offsets', [
      day('02:59:40', { offset: '+02:00' }),
      day('02:00:00', { offset: '+01:00' }),
      day('02:00:20', { offset: '+01:00' }),
    ]);
    expect(times).toEqual([0, 20, 40]);
    expect(source.info.notes).toEqual([]);
  });

  it('puts the hour back when a clock without offset jumps, and says so', async () => {
    const { times, source } = await timed('hour', [
      day('02:59:00'),
      day('02:59:20'),
      day('02:59:40'),
      day('02:00:00'),
      day('02:00:20'),
    ]);
    expect(times).toEqual([0, 20, 40, 60, 80]);
    expect(source.info.notes.map((note) => note.code)).toEqual(['clock-hour-back']);
  });

  it('goes over leap days and New Year, and knows years that have none', async () => {
    const at = (...dateTimes: readonly string[]) => dateTimes.map((dateTimeOriginal) => ({ dateTimeOriginal }));
    const leap = await timed(
      'leap',
      at('2028:02:28 23:59:40', '2028:02:29 00:00:00', '2028:02:29 23:59:40', '2028:03:01 00:00:00'),
    );
    expect(leap.times).toEqual([0, 20, 86_400, 86_420]);
    const common = await timed('common', at('2027:02:28 23:59:40', '2027:03:01 00:00:00', '2027:03:01 00:00:20'));
    expect(common.times).toEqual([0, 20, 40]);
    const year = await timed('year', at('2026:12:31 23:59:40', '2027:01:01 00:00:00', '2027:01:01 00:00:20'));
    expect(year.times).toEqual([0, 20, 40]);
    for (const { source } of [leap, common, year]) expect(source.info.notes).toEqual([]);
  });

  it('takes a time that there is not for none', async () => {
    const { frames, times } = await timed('unreal', [
      day('10:00:00'),
      { dateTimeOriginal: '0000:00:00 00:00:00' },
      { dateTimeOriginal: '2026:02:30 10:00:40' },
      { dateTimeOriginal: '2026:10:25 25:61:00' },
      day('10:01:20'),
    ]);
    expect(times).toEqual([0, null, null, null, 80]);
    for (const frame of frames.slice(1, 4))
      expect(frame).toMatchObject({ reason: expect.stringMatching(/no EXIF time/) });
  });

  it('spreads equal seconds of a burst', async () => {
    const { times } = await timed('burst', [
      day('10:00:00'),
      day('10:00:00'),
      day('10:00:00'),
      day('10:00:00'),
      day('10:00:01'),
    ]);
    expect(times).toEqual([0, 0.25, 0.5, 0.75, 1]);
  });

  it('drops one picture with a wrong clock, not those after it, and pictures without a time', async () => {
    const { frames, times } = await timed('wrong', [
      day('10:00:00'),
      day('23:00:00'),
      day('10:00:40'),
      {},
      day('10:01:20'),
    ]);
    expect(times).toEqual([0, null, 40, null, 80]);
    expect(frames[1]).toMatchObject({ kind: 'rejected', reason: expect.stringMatching(/order/) });
    expect(frames[3]).toMatchObject({ kind: 'rejected', reason: expect.stringMatching(/no EXIF time/) });
  });

  it('corrects a clock that runs fast by two readings of a true one', async () => {
    const readings = [
      { camera: '2026-10-25T10:00:00', actual: '2026-10-25T09:50:00' },
      { camera: '2026-10-25T11:00:36', actual: '2026-10-25T10:50:00' },
    ];
    const { times, source } = await timed('fast', [day('10:00:00'), day('10:10:06')], { kind: 'clock-exif', readings });
    expect(times).toEqual([0, 600]);
    expect(source.info.notes.map((note) => note.code)).toEqual(['clock-corrected']);
  });

  it('says when interval_s and the clock differ by more than 2 %', async () => {
    const even = [0, 1, 2, 3, 4, 5].map((i) => day(`10:0${i}:00`));
    const fits = await timed('agree', even, { kind: 'interval', intervalS: 60 });
    expect(fits.source.info.notes).toEqual([]);
    const off = await timed('disagree', even, { kind: 'interval', intervalS: 50 });
    expect(off.source.info.notes.map((note) => note.code)).toEqual(['interval-disagrees']);
    expect(off.times).toEqual([0, 50, 100, 150, 200, 250]);
  });

  it('refuses a clock that stood still for all pictures, not a burst', async () => {
    const still = (count: number) => Array.from({ length: count }, () => day('10:00:00'));
    await expect(timed('stood', still(30))).rejects.toMatchObject({ code: 'clock-stands' });
    expect((await timed('burst-12', still(12))).times.at(-1)).toBeCloseTo(11 / 12, 2);
  });

  it('needs times for clock: exif, and no speed', async () => {
    await expect(timed('untimed', [{}, {}])).rejects.toMatchObject({ code: 'no-exif-times' });
    await expect(open(at('untimed'), { kind: 'speed', speed: 2 })).rejects.toMatchObject({ code: 'timing-kind' });
  });

  it('hands on camera settings', async () => {
    const { frames } = await timed('settings', [
      day('10:00:00', { exposureTimeS: 1 / 50, whiteBalance: 'manual', exposureMode: 'auto' }),
    ]);
    expect(frames[0]).toMatchObject({
      settings: { exposureTimeS: 0.02, whiteBalance: 'manual', exposureMode: 'auto' },
    });
  });
});
