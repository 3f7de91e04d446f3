import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { encodeJpeg, type ExifFacts } from '../../src/frames/index.ts';
import { readStillFacts } from '../../src/frames/stills/still-facts.ts';
import { picture, scratch } from './media.ts';

const at = scratch();

/** ExifTool is an independent reader of EXIF (Phil Harvey, exiftool.org); where it is not installed there is none to ask. */
const version = ((): string | null => {
  try {
    return execFileSync('exiftool', ['-ver'], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] }).trim();
  } catch {
    return null;
  }
})();

const cases: readonly (readonly [string, ExifFacts])[] = [
  ['whole seconds', { dateTimeOriginal: '2026:10:25 01:59:59' }],
  ['fractions', { dateTimeOriginal: '2026:10:25 01:59:59', subSec: '05' }],
  ['an offset', { dateTimeOriginal: '2026:10:25 02:00:01', offset: '+02:00' }],
  ['half an hour west', { dateTimeOriginal: '2026:10:25 02:00:01', offset: '-03:30', subSec: '750' }],
  [
    'settings',
    { dateTimeOriginal: '2026:10:25 02:00:01', exposureTimeS: 1 / 50, whiteBalance: 'manual', exposureMode: 'auto' },
  ],
  ['no time', {}],
];

describe.runIf(version !== null)('what a picture says of its time, as ExifTool reads it', () => {
  it.each(cases)('%s', async (name, exif) => {
    const file = at(`${name}.jpg`);
    writeFileSync(file, await encodeJpeg(picture(0), { quality: 80, exif }));
    const told = execFileSync('exiftool', ['-json', '-n', '-EXIF:all', file], { encoding: 'utf8' });
    const [tags] = JSON.parse(told) as [Readonly<Record<string, string | number>>];
    const facts = await readStillFacts(file);
    if (facts.problem !== null) throw new Error(facts.problem);
    const { DateTimeOriginal: dateTime, SubSecTimeOriginal: subSec, OffsetTimeOriginal: offset } = tags;
    expect(facts.time?.dateTime).toBe(dateTime);
    expect(facts.time?.fraction ?? null).toBe(subSec === undefined ? null : Number(`0.${String(exif.subSec)}`));
    if (subSec !== undefined) expect(String(subSec).padStart(2, '0')).toBe(exif.subSec);
    const minutes = facts.time?.offsetMin ?? null;
    const shown =
      minutes === null
        ? undefined
        : `${minutes < 0 ? '-' : '+'}${String(Math.floor(Math.abs(minutes) / 60)).padStart(2, '0')}:${String(Math.abs(minutes) % 60).padStart(2, '0')}`;
    expect(shown).toBe(offset);
    expect(facts.settings?.exposureTimeS ?? undefined).toBe(tags['ExposureTime']);
    expect(facts.settings?.whiteBalance ?? undefined).toBe(mode(tags['WhiteBalance']));
    expect(facts.settings?.exposureMode ?? undefined).toBe(mode(tags['ExposureMode']));
  });
});

const mode = (value: string | number | undefined): string | undefined =>
  value === undefined ? undefined : value === 0 ? 'auto' : 'manual';
