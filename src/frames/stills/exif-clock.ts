import type { ClockReading } from '../../model/run.ts';
import type { Note } from '../note.ts';
import { keptInOrder } from './kept-in-order.ts';
import { naiveSeconds } from './naive-seconds.ts';
import type { ExifTime } from './still-facts.ts';

export interface ClockInput {
  /** As shown to the user. */
  readonly name: string;
  /** `null`: the picture has no EXIF time, or is unreadable. */
  readonly time: ExifTime | null;
}

export interface ClockTimes {
  /** Seconds on one clock without jumps (its zero has no meaning); `null` = not usable, see `reasons`. */
  readonly seconds: readonly (number | null)[];
  readonly reasons: readonly (string | null)[];
  readonly notes: readonly Note[];
}

const hourS = 3600;

/**
 * Turns the times cameras write into seconds on one even clock. Offsets from UTC are used when every picture has one;
 * otherwise the camera's own clock is followed and a jump of a whole hour back (daylight saving ended) is undone.
 * Equal seconds without fractions, as in a burst, are spread over the second. What then still runs backwards is dropped
 * with its reason. Two readings of a true clock correct a clock that is fast or slow.
 */
export function clockTimes(inputs: readonly ClockInput[], readings: readonly ClockReading[]): ClockTimes {
  const notes: Note[] = [];
  const reasons: (string | null)[] = inputs.map(({ time }) =>
    time === null ? 'no EXIF time (DateTimeOriginal)' : null,
  );
  const timed = inputs.flatMap(({ time }, index) => (time === null ? [] : [{ index, time }]));
  const withOffset = timed.filter(({ time }) => time.offsetMin !== null).length;
  const useOffsets = withOffset === timed.length;
  if (withOffset > 0 && !useOffsets) {
    notes.push(
      note(
        'offsets-partial',
        `${timed.length - withOffset} of ${timed.length} pictures lack the offset from UTC; offsets were not used.`,
      ),
    );
  }
  const wall = timed.map(({ time }) => naiveSeconds(time.dateTime) - (useOffsets ? time.offsetMin! * 60 : 0));
  const even = useOffsets ? wall : undoHourJumps(wall, notes);
  const spread = spreadEqualSeconds(
    even,
    timed.map(({ time }) => time.fraction),
  );
  const kept = keptInOrder(spread);
  const rate = clockRate(readings, notes);
  const seconds: (number | null)[] = inputs.map(() => null);
  timed.forEach(({ index }, i) => {
    if (kept[i] === true) seconds[index] = spread[i]! * rate;
    else reasons[index] = `its clock time is not later than that of the picture before (out of order or repeated)`;
  });
  return { seconds, reasons, notes };
}

function note(code: string, message: string): Note {
  return { code, severity: 'warn', message };
}

/**
 * A camera that follows daylight saving by itself jumps by an hour between two pictures. Backwards that is certain
 * (within half a usual gap); forwards it cannot be told from an hour without pictures, so it is said and left.
 */
function undoHourJumps(wall: readonly number[], notes: Note[]): readonly number[] {
  const gaps = wall.slice(1).map((time, i) => time - wall[i]!);
  const usual = [...gaps].filter((gap) => gap > 0).sort((a, b) => a - b);
  const usualGap = usual[usual.length >> 1] ?? 0;
  const tolerance = Math.max(1.5, 0.5 * usualGap);
  let added = 0;
  return wall.map((time, i) => {
    const gap = i === 0 ? 0 : gaps[i - 1]!;
    if (i > 0 && Math.abs(gap - (usualGap - hourS)) <= tolerance && usualGap < hourS / 2) {
      added += hourS;
      notes.push(
        note(
          'clock-hour-back',
          `The camera's clock jumped back one hour after picture ${i} (daylight saving ended); the hour was put back.`,
        ),
      );
    } else if (i > 0 && Math.abs(gap - (usualGap + hourS)) <= tolerance && usualGap < hourS / 2) {
      notes.push(
        note(
          'clock-hour-forward',
          `The camera's clock is one hour ahead from picture ${i + 1} on: either no pictures for an hour, or daylight saving began. It was taken as it is; if it was daylight saving, write the offset in the camera or use interval_s.`,
        ),
      );
    }
    return time + added;
  });
}

/** n pictures with one whole second and no fractions get it in n equal parts: the order is known, the moments are not. */
function spreadEqualSeconds(whole: readonly number[], fractions: readonly (number | null)[]): readonly number[] {
  const counts = new Map<number, number>();
  for (const [i, time] of whole.entries()) if (fractions[i] === null) counts.set(time, (counts.get(time) ?? 0) + 1);
  const seen = new Map<number, number>();
  return whole.map((time, i) => {
    const fraction = fractions[i] ?? null;
    if (fraction !== null) return time + fraction;
    const place = seen.get(time) ?? 0;
    seen.set(time, place + 1);
    return time + place / counts.get(time)!;
  });
}

/** True seconds per second of the camera's clock; an offset alone cancels in run time. */
function clockRate(readings: readonly ClockReading[], notes: Note[]): number {
  if (readings.length === 0) return 1;
  const points = readings.map((reading) => [naiveSeconds(reading.camera), naiveSeconds(reading.actual)] as const);
  const offset = points[0]![1] - points[0]![0];
  if (points.length === 1) {
    notes.push({
      code: 'clock-offset',
      severity: 'info',
      message: `The camera's clock was ${describe(offset)}; run times are not changed by that.`,
    });
    return 1;
  }
  const meanX = points.reduce((sum, [x]) => sum + x, 0) / points.length;
  const meanY = points.reduce((sum, [, y]) => sum + y, 0) / points.length;
  const sxx = points.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0);
  const sxy = points.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0);
  const rate = sxx === 0 ? NaN : sxy / sxx;
  // Chosen: quartz clocks are off by parts in 100,000; one part in twenty can only be a misread clock.
  if (!(Math.abs(rate - 1) < 0.05)) {
    notes.push(
      note(
        'clock-readings-doubtful',
        `The clock readings would mean that the camera's clock runs ${((1 / rate - 1) * 100).toFixed(1)} % wrong; they were not used. Check them.`,
      ),
    );
    return 1;
  }
  notes.push({
    code: 'clock-corrected',
    severity: 'info',
    message: `The camera's clock was ${describe(offset)} and ran ${(1e6 * (1 / rate - 1)).toFixed(0)} parts in a million fast; times were corrected.`,
  });
  return rate;
}

function describe(offsetS: number): string {
  return offsetS === 0 ? 'right' : `${Math.abs(offsetS).toFixed(0)} s ${offsetS > 0 ? 'slow' : 'fast'}`;
}
