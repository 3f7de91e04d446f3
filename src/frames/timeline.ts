import type { SourcePart, Timing } from '../model/run.ts';
import type { Note } from './note.ts';
import type { Part } from './part.ts';

/** A part placed on the run's clock. */
export interface PlacedPart {
  readonly part: Part;
  /** Index of its first frame over the whole source. */
  readonly firstIndex: number;
  /** Run clock of a frame; `null` where the frame has no time. */
  timeRunS(position: number): number | null;
  /** Run clock of its last frame as far as known. */
  readonly endRunS: number | null;
}

/** Places parts one after another, or where the user says they start, and tells gaps and overlaps. */
export function placeParts(
  parts: readonly Part[],
  sources: readonly SourcePart[],
  timing: Timing,
): { readonly placed: readonly PlacedPart[]; readonly notes: readonly Note[] } {
  const notes: Note[] = [];
  const placed: PlacedPart[] = [];
  let originClock: number | null = null;
  for (const [i, part] of parts.entries()) {
    const before = placed.at(-1);
    const own = ownSeconds(part, timing);
    const first = firstKnown(part, own);
    originClock ??= first;
    const stepS = stepOf(part, timing);
    const chained = before === undefined ? 0 : (before.endRunS ?? 0) + stepS;
    // Camera clocks of all parts are one clock; other timings know nothing of the pause between two files.
    const follows = timing.kind === 'clock-exif' ? first - originClock : chained;
    const startRunS = sources[i]?.startsRunS ?? follows;
    if (before !== undefined) notes.push(...joint(before, part, startRunS, chained, stepS));
    const timeRunS = (position: number): number | null => {
      const seconds = own(position);
      return seconds === null ? null : startRunS + seconds - first;
    };
    const last = part.count === null ? null : lastKnown(part.count, timeRunS);
    const firstIndex = before === undefined ? 0 : before.firstIndex + (before.part.count ?? 0);
    placed.push({ part, firstIndex, timeRunS, endRunS: last });
  }
  return { placed, notes };
}

function ownSeconds(part: Part, timing: Timing): (position: number) => number | null {
  switch (timing.kind) {
    case 'interval':
      return (position) => position * timing.intervalS;
    case 'speed':
      return (position) => {
        const seconds = part.timeAt(position);
        return seconds === null ? null : seconds * timing.speed;
      };
    case 'clock-exif':
      return (position) => part.timeAt(position);
  }
}

function stepOf(part: Part, timing: Timing): number {
  if (timing.kind === 'interval') return timing.intervalS;
  return (part.stepS ?? 0) * (timing.kind === 'speed' ? timing.speed : 1);
}

function firstKnown(part: Part, own: (position: number) => number | null): number {
  for (let position = 0; position < (part.count ?? 1); position++) {
    const seconds = own(position);
    if (seconds !== null) return seconds;
  }
  return 0;
}

function lastKnown(count: number, timeRunS: (position: number) => number | null): number | null {
  for (let position = count - 1; position >= 0; position--) {
    const seconds = timeRunS(position);
    if (seconds !== null) return seconds;
  }
  return null;
}

function joint(before: PlacedPart, part: Part, startRunS: number, chained: number, stepS: number): Note[] {
  const end = before.endRunS;
  if (end === null) return [];
  if (startRunS <= end) {
    const message = `${part.shown} starts at ${startRunS.toFixed(1)} s, before ${before.part.shown} ends (${end.toFixed(1)} s): the frames of the overlap are dropped from the later file.`;
    return [{ code: 'parts-overlap', severity: 'warn', message }];
  }
  if (startRunS > chained + 0.5 * stepS) {
    const message = `no frames between ${end.toFixed(1)} s (end of ${before.part.shown}) and ${startRunS.toFixed(1)} s (start of ${part.shown}).`;
    return [{ code: 'parts-gap', severity: 'info', message }];
  }
  return [];
}
