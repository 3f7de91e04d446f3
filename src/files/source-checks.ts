import path from 'node:path';
import type { Finding } from './findings.ts';
import { type ListedPart, listedParts } from './listed-parts.ts';
import type { RunFile } from './schemas/run.ts';

/** What is wrong in the list of files that a run is made of, and in the readings of the camera's clock. */
export function sourceFindings({ source, timing }: RunFile): Finding[] {
  const parts = listedParts(source);
  return [...repeatedParts(parts), ...unorderedParts(parts), ...readingFindings(timing)];
}

function repeatedParts(parts: readonly ListedPart[]): Finding[] {
  return parts.flatMap(({ file, key }, index) => {
    const before = parts.findIndex((part) => path.normalize(part.file) === path.normalize(file));
    if (before === index) return [];
    const message = `"${file}" is listed twice, so its frames would come twice`;
    return [{ code: 'part-twice', key, message, hint: 'remove one of the two' }];
  });
}

/** Parts are read in the order of the list; the frames of one that starts before the part before it would be lost. */
function unorderedParts(parts: readonly ListedPart[]): Finding[] {
  let latest = -Infinity;
  return parts.flatMap(({ startsRunS: starts }, index) => {
    if (starts === null) return [];
    if (starts > latest) {
      latest = starts;
      return [];
    }
    return [
      {
        code: 'parts-unordered',
        key: ['source', index, 'starts_run_s'],
        message: 'this part does not start later than the one listed before it',
        expected: `more than ${latest}`,
        got: String(starts),
        hint: 'list the parts in order of time',
      },
    ];
  });
}

function readingFindings(timing: RunFile['timing']): Finding[] {
  return (timing.clock_readings ?? []).flatMap((reading, index) =>
    (['camera', 'actual'] as const)
      .filter((key) => !isDate(reading[key]))
      .map((key) => ({
        code: 'no-such-date',
        key: ['timing', 'clock_readings', index, key],
        message: 'there is no such date or time',
        expected: 'a local time such as 2026-03-01T18:05:00',
        got: reading[key],
      })),
  );
}

/** The shape is right already; 30 February and 25 h are found by writing the date anew. */
function isDate(text: string): boolean {
  const written = text.replace(' ', 'T').slice(0, 16);
  const parsed = Date.parse(`${text.replace(' ', 'T')}Z`);
  return Number.isFinite(parsed) && new Date(parsed).toISOString().startsWith(written);
}
