import path from 'node:path';
import { UserError } from '../../errors.ts';
import type { CropRequest } from '../../model/frame.ts';
import type { Timing } from '../../model/run.ts';
import { loadSharp } from '../load-sharp.ts';
import { inOrder } from '../in-order.ts';
import type { Note } from '../note.ts';
import type { Part, PartFrame, ReadOptions } from '../part.ts';
import { unitFor } from './cut-crops.ts';
import { clockTimes, type ClockTimes } from './exif-clock.ts';
import { findRepeats } from './find-repeats.ts';
import { leaveOutDoubles } from './leave-out.ts';
import { missingNumbers } from './missing-numbers.ts';
import { unrollNumbers } from './number-rollover.ts';
import { type Profiles, readProfiles } from './profiles.ts';
import { readCrops, readWhole } from './read-still.ts';
import { smallLooks } from './small-looks.ts';
import { type GoodStill, readStillFacts, type StillFacts } from './still-facts.ts';

/** Pictures a glance looks at; chosen: enough for a curve, a minute's work at most. */
const glanceStills = 60;

/**
 * Looks into a series of pictures: in the order given, but where that is of names (`ordered` false), numbers that ran
 * out are followed.
 * @throws UserError when none is readable, sizes differ, or `clock: exif` finds no times.
 */
export async function openStillPart(
  files: readonly string[],
  shown: string,
  name: (file: string) => string,
  timing: Timing,
  ordered = false,
): Promise<Part> {
  const singles = leaveOutDoubles(files, name);
  const found: StillFacts[] = [];
  for await (const one of inOrder(singles.files, 4, readStillFacts)) found.push(one);
  const { facts, notes: orderNotes } = ordered ? { facts: found, notes: [] } : unrollNumbers(found, name);
  const good = facts.filter((one): one is GoodStill => one.problem === null);
  const first = good[0];
  if (first === undefined) throw allBad(facts, shown, name);
  checkSizes(good, name);
  const clock = readClock(facts, timing, shown, name);
  const profiles = readProfiles(good, shown);
  const clockless = timing.kind === 'interval' && good.every(({ time }) => time === null);
  const skipped = clockless
    ? missingNumbers(
        facts.map(({ file }) => file),
        name,
        shown,
      )
    : null;
  const repeated = await findRepeats(facts, name);
  const reasons = facts.map(
    (_, i) => repeated.reasons[i] ?? (timing.kind === 'clock-exif' ? (clock.reasons[i] ?? null) : null),
  );
  const times = facts.map((_, i) => clock.seconds[i] ?? null);
  return {
    kind: 'stills',
    ...{ shown, width: first.width, height: first.height, count: facts.length, files: facts.map(({ file }) => file) },
    timeAt: (position) => times[position] ?? null,
    stepS: usualGap(times),
    codec: [...new Set(good.map((still) => still.format))].join(', '),
    bitDepth: Math.min(...good.map((still) => still.bitDepth)),
    chromaSubsampled: good.some((still) => still.chromaSubsampled),
    ...{
      transferTag: 'srgb',
      conversion: profiles.described,
      decoder: await decoderName(good),
    },
    notes: [
      ...singles.notes,
      ...orderNotes,
      ...repeated.notes,
      ...clock.notes,
      ...profiles.notes,
      ...(skipped === null ? [] : [skipped]),
    ],
    splitAt: () => null,
    frames: (crops, options) => stillFrames(facts, reasons, profiles, name, crops, options),
    looks: (positions, crops) =>
      crops === null ? null : smallLooks(facts, (one) => profiles.of(one) !== null, positions, crops),
    still: async (position) => {
      for (let at = position; at < facts.length; at++) {
        const found = facts[at]!;
        const image = found.problem === null ? await readWhole(found).catch(() => null) : null;
        if (image !== null) return { image, position: at };
      }
      return null;
    },
  };
}

async function* stillFrames(
  facts: readonly StillFacts[],
  reasons: readonly (string | null)[],
  profiles: Profiles,
  name: (file: string) => string,
  crops: readonly CropRequest[],
  options: ReadOptions,
): AsyncGenerator<PartFrame> {
  const end = Math.min(facts.length, options.endPosition ?? Infinity);
  const stride = options.glance ? Math.max(1, Math.ceil(end / glanceStills)) : 1;
  const positions = Array.from({ length: Math.ceil(end / stride) }, (_, i) => i * stride);
  yield* inOrder(positions, atOnce(facts, crops), async (position): Promise<PartFrame> => {
    options.signal?.throwIfAborted();
    const found = facts[position]!;
    const shared = { position, file: name(found.file) };
    const reason = found.problem ?? reasons[position] ?? null;
    if (found.problem !== null || reason !== null) return { ...shared, regions: null, reason, settings: null };
    try {
      return {
        ...shared,
        regions: await readCrops(found, crops, profiles.of(found)),
        reason: null,
        settings: found.settings,
      };
    } catch (error) {
      const words = (error as Error).message.trim().split('\n')[0]!.slice(0, 160);
      return { ...shared, regions: null, reason: `damaged picture (${words})`, settings: found.settings };
    }
  });
}

/** Pictures under way: decoding runs in sharp's own threads, on two cores here. Small ones may wait in memory, so that no core does. */
function atOnce(facts: readonly StillFacts[], crops: readonly CropRequest[]): number {
  const small = facts.every((found) => found.problem !== null || unitFor(found, crops) === 4);
  return small ? 3 : 2;
}

async function decoderName(stills: readonly GoodStill[]): Promise<string> {
  const { versions } = await loadSharp();
  const own = `sharp ${versions.sharp} (libvips ${versions.vips})`;
  return stills.some((still) => still.heic) ? `${own}, heic-decode` : own;
}

function allBad(facts: readonly StillFacts[], shown: string, name: (file: string) => string): UserError {
  const problems = [...new Set(facts.map(({ problem }) => problem))];
  const list = problems.slice(0, 3).map((problem) => {
    const first = facts.find((one) => one.problem === problem)!;
    const others = facts.filter((one) => one.problem === problem).length - 1;
    return `${name(first.file)}${others === 0 ? '' : ` and ${others} more`}: ${problem}`;
  });
  return new UserError({
    code: 'no-readable-picture',
    file: shown,
    message: facts.length === 1 ? 'the picture cannot be used' : `none of the ${facts.length} pictures can be used`,
    got: list.join('; ') + (problems.length > 3 ? '; …' : ''),
    hint: 'check that the pictures were copied whole and open in a viewer, and that they are what the camera wrote',
  });
}

function checkSizes(good: readonly GoodStill[], name: (file: string) => string): void {
  const first = good[0]!;
  const other = good.find((still) => still.width !== first.width || still.height !== first.height);
  if (other === undefined) return;
  const count = good.filter((still) => still.width !== first.width || still.height !== first.height).length;
  throw new UserError({
    code: 'mixed-sizes',
    file: name(other.file),
    message: `pictures of different sizes in one run: regions would not fit (${count} of ${good.length} differ from the first)`,
    expected: `${first.width} x ${first.height}, as ${path.basename(first.file)}`,
    got: `${other.width} x ${other.height}`,
    hint: 'keep only the pictures of one camera setting in the folder, or name them with a pattern such as rack/IMG_*.jpg',
  });
}

/** Pictures within one second of the camera's clock from which it must have stood still. Chosen: above a burst. */
const fewestEqual = 30;

const standingClock = (count: number, shown: string): UserError =>
  new UserError({
    code: 'clock-stands',
    file: shown,
    key: 'timing.clock',
    message: `all ${count} pictures have the same time by the camera's clock, so it says nothing`,
    hint: 'use interval_s; a program that changed the pictures may have written that time: the originals may have the true ones',
  });

function readClock(
  facts: readonly StillFacts[],
  timing: Timing,
  shown: string,
  name: (file: string) => string,
): ClockTimes {
  const inputs = facts.map((found) => ({
    name: name(found.file),
    time: found.problem === null ? found.time : null,
  }));
  const clock = clockTimes(inputs, timing.kind === 'clock-exif' ? timing.readings : []);
  if (timing.kind === 'clock-exif') {
    const known = clock.seconds.filter((time) => time !== null);
    if (known.length >= fewestEqual && known.at(-1)! - known[0]! < 1) throw standingClock(known.length, shown);
    if (known.length > 0) return clock;
    throw new UserError({
      code: 'no-exif-times',
      file: shown,
      message: 'timing is "clock: exif", but no picture has an EXIF time (DateTimeOriginal)',
      hint: 'use interval_s when the pictures were taken at an even interval',
    });
  }
  return { ...clock, notes: timing.kind === 'interval' ? intervalCheck(clock.seconds, timing.intervalS) : [] };
}

/** Interval against the camera's clock, where it writes one: a typing error here would scale every rate. */
function intervalCheck(seconds: readonly (number | null)[], intervalS: number): Note[] {
  const known = seconds.flatMap((time, position) => (time === null ? [] : [{ time, position }]));
  const first = known[0];
  const last = known.at(-1);
  if (first === undefined || last === undefined || last.position === first.position) return [];
  const gap = usualGap(seconds)!;
  const mean = (last.time - first.time) / (last.position - first.position);
  // Whole seconds: the mean over the run is known to one second over its length.
  const slack = 1 / (last.time - first.time || 1);
  const differs = (value: number): boolean => Math.abs(value / intervalS - 1) > 0.02 + slack;
  if (!differs(mean)) return [];
  const percent = (100 * (mean / intervalS - 1)).toFixed(1);
  const cause = differs(gap) ? '' : ' The usual gap agrees, so pictures are missing or the camera paused.';
  return [
    {
      code: 'interval-disagrees',
      severity: 'warn',
      message: `interval_s is ${intervalS} s, but by the camera's clock the pictures are ${mean.toFixed(2)} s apart on average (${percent} %).${cause} If the camera's clock is right, use "clock: exif".`,
    },
  ];
}

function usualGap(seconds: readonly (number | null)[]): number | null {
  const known = seconds.flatMap((time, position) => (time === null ? [] : [{ time, position }]));
  const gaps = known
    .slice(1)
    .map(({ time, position }, i) => (time - known[i]!.time) / (position - known[i]!.position))
    .sort((a, b) => a - b);
  return gaps[gaps.length >> 1] ?? null;
}
