import { stat } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../errors.ts';
import type { SourcePart, Timing } from '../model/run.ts';
import type { EarlyHashes } from './early-hashes.ts';
import { findFfmpeg } from './find-ffmpeg.ts';
import { loadSharp } from './load-sharp.ts';
import type { Note } from './note.ts';
import type { Part } from './part.ts';
import { neighbours } from './salvage/lender.ts';
import {
  filesMatching,
  filmsBeside,
  isPattern,
  isStill,
  othersInFolder,
  stillsInFolder,
} from './stills/list-stills.ts';
import { openStillPart } from './stills/still-part.ts';
import { asPart } from './video/as-part.ts';
import { withBreakTold } from './video/break-note.ts';
import { findHeld, heldNote } from './video/held-pictures.ts';
import type { Lender } from './video/open-salvaged.ts';
import { unevenNote } from './video/uneven-note.ts';
import { openVideoPart } from './video/video-part.ts';

export interface OpenContext {
  readonly timing: Timing;
  readonly baseDir: string;
  readonly ffmpegPath: string | null;
  readonly hashes: EarlyHashes;
}

/** How a file is called towards the user: relative to the run file, with forward slashes, control characters as codes. */
export function shownName(baseDir: string, file: string): string {
  const relative = path.relative(baseDir, file);
  const name = (relative === '' ? path.basename(file) : relative).split(path.sep).join('/');
  return name.replace(/\p{Cc}/gu, (character) => `\\u{${character.codePointAt(0)!.toString(16)}}`);
}

/**
 * Opens the parts of a source: films, folders, patterns; neighbouring single pictures join into one series.
 * @throws UserError for a missing or unreadable part.
 */
export async function openParts(
  sources: readonly SourcePart[],
  context: OpenContext,
): Promise<{ readonly parts: readonly Part[]; readonly sources: readonly SourcePart[] }> {
  const parts: Part[] = [];
  const films = sources.map(({ file }) => file).filter((file) => !isStill(file) && !isPattern(file));
  const used: SourcePart[] = [];
  for (let i = 0; i < sources.length; i++) {
    const source = sources[i]!;
    const found = await look(source, context);
    const files = [...found.files];
    // A list of pictures is one series, not as many one-picture parts.
    while (found.single && isStill(source.file) && joins(sources[i + 1])) {
      const next = await look(sources[++i]!, context);
      files.push(...next.files);
    }
    const shown = shownName(context.baseDir, source.file);
    const part = await openPart(
      files,
      { film: found.single && !isStill(source.file), ordered: found.single, films },
      shown,
      context,
    );
    const beside = found.folder === null ? [] : await besideNotes(found.folder, files, shown);
    parts.push({ ...part, notes: [...part.notes, ...beside] });
    used.push(source);
  }
  return { parts, sources: used };
}

const joins = (next: SourcePart | undefined): boolean =>
  next !== undefined && next.startsRunS === null && isStill(next.file) && !isPattern(next.file);

async function openPart(
  files: readonly string[],
  { film, ordered, films }: { readonly film: boolean; readonly ordered: boolean; readonly films: readonly string[] },
  shown: string,
  context: OpenContext,
): Promise<Part> {
  const { timing, baseDir } = context;
  if (film) {
    if (timing.kind === 'clock-exif') throw wrongTiming(shown, 'a film has no EXIF times', 'interval_s or speed');
    const program = await findFfmpeg(context.ffmpegPath);
    context.hashes.begin(files[0]!);
    const opening = openVideoPart(program, files[0]!, shown, () => lendersFor(files[0]!, films, baseDir));
    // wanted for the first look; loaded while ffmpeg looks into the film
    void loadSharp().catch(() => undefined);
    const video = await opening;
    if (video.rateUnknown && timing.kind === 'speed') throw unknownRate(shown);
    const told = await withBreakTold(video);
    const uneven = timing.kind === 'interval' ? unevenNote(told, timing.intervalS) : null;
    const held = await findHeld(told);
    const notes = [uneven, held === null ? null : heldNote(told, held, timing)].filter((note) => note !== null);
    return asPart({ ...told, held, notes: [...told.notes, ...notes] });
  }
  if (timing.kind === 'speed') throw wrongTiming(shown, 'pictures have no playback speed', 'interval_s or clock: exif');
  return openStillPart(files, shown, (file) => shownName(baseDir, file), timing, ordered);
}

/** Films that may tell how a film without its index is coded: of the same run, then of the same folder. */
async function lendersFor(file: string, films: readonly string[], baseDir: string): Promise<readonly Lender[]> {
  const others = [...films.filter((film) => film !== file), ...(await neighbours(file))];
  return [...new Set(others)].map((other) => ({ file: other, shown: shownName(baseDir, other) }));
}

const unknownRate = (shown: string): UserError =>
  new UserError({
    code: 'video-rate-unknown',
    ...{ file: shown, key: 'timing.speed' },
    message:
      'the film was never finished and its index is missing: its pictures were found, but nothing tells how fast they play, so speed gives them no times',
    hint: 'give timing.interval_s, the seconds between two frames, or put an intact film of the same camera and an even frame rate into the same folder',
  });

function wrongTiming(shown: string, message: string, expected: string): UserError {
  return new UserError({ code: 'timing-kind', file: shown, key: 'timing', message, expected });
}

interface Found {
  readonly files: readonly string[];
  /** The source names one file. */
  readonly single: boolean;
  /** The source is this folder. */
  readonly folder: string | null;
}

const countOf = (films: readonly string[]): string => `${films.length} ${films.length === 1 ? 'film' : 'films'}`;

async function besideNotes(folder: string, files: readonly string[], shown: string): Promise<readonly Note[]> {
  const { live, others } = await filmsBeside(folder, files);
  const told: Note[] = [];
  if (live.length > 0) {
    const message = `${shown}: ${countOf(live)} named like a picture (the moving half of live pictures, first: ${live[0]!}); the pictures are read.`;
    told.push({ code: 'live-films', severity: 'info', message });
  }
  if (others.length > 0) {
    const message = `${shown}: ${countOf(others)} among the pictures, not read (first: ${others[0]!}). A run is made of one or the other.`;
    told.push({ code: 'films-beside', severity: 'warn', message });
  }
  return told;
}

async function look({ file }: SourcePart, { baseDir }: OpenContext): Promise<Found> {
  const shown = shownName(baseDir, file);
  const entry = await stat(file).catch((error: NodeJS.ErrnoException) => error);
  if (!(entry instanceof Error)) {
    if (entry.isDirectory())
      return { files: await some(stillsInFolder(file), shown, file), single: false, folder: file };
    if (!entry.isFile())
      throw new UserError({
        code: 'source-not-file',
        file: shown,
        message: 'the source is neither a file nor a folder',
      });
    if (entry.size === 0)
      throw new UserError({
        code: 'source-empty',
        file: shown,
        message: 'the file is empty (0 bytes)',
        hint: 'copy it again from the camera',
      });
    return { files: [file], single: true, folder: null };
  }
  if (isPattern(file))
    return {
      files: await some(
        filesMatching(file).then((all) => all.filter(isStill)),
        shown,
      ),
      single: false,
      folder: null,
    };
  const permitted = entry.code !== 'EACCES' && entry.code !== 'EPERM';
  throw new UserError({
    code: permitted ? 'source-missing' : 'source-denied',
    file: shown,
    message: permitted ? 'the source does not exist' : 'the source may not be read',
    hint: permitted
      ? 'check the name and where it lies; paths in a run file are relative to that file'
      : 'check its permissions',
    cause: entry,
  });
}

async function some(
  listing: Promise<readonly string[]>,
  shown: string,
  folder: string | null = null,
): Promise<readonly string[]> {
  const files = await listing;
  if (files.length > 0) return files;
  // Cameras begin a new folder after some hundred pictures: 100…, 101….
  const below = folder === null ? [] : (await filesMatching(path.join(folder, '*', '*'))).filter(isStill);
  throw new UserError({
    ...{ code: 'no-pictures', file: shown, message: 'no pictures here' },
    expected: 'files ending in .jpg, .png, .tif, .webp, .avif or .heic',
    ...(folder === null ? {} : await insteadOf(folder)),
    hint: await emptyHint(folder, below, shown),
  });
}

/** What a folder without pictures holds in their place. */
async function insteadOf(folder: string): Promise<{ readonly got?: string }> {
  const { raw, films } = await othersInFolder(folder);
  const told = [
    ...(raw.length === 0
      ? []
      : [`${raw.length} raw ${raw.length === 1 ? 'file' : 'files'} of a camera (first: ${raw[0]!})`]),
    ...(films.length === 0 ? [] : [`${countOf(films)} (first: ${films[0]!})`]),
  ];
  return told.length === 0 ? {} : { got: told.join(', ') };
}

async function emptyHint(folder: string | null, below: readonly string[], shown: string): Promise<string> {
  if (below.length > 0)
    return `${below.length} lie in folders below; give the pattern "${shown}/*/*${path.extname(below[0]!)}"`;
  const { raw, films } = folder === null ? { raw: [], films: [] } : await othersInFolder(folder);
  if (raw.length > 0)
    return 'develop them all with the same settings (no automatic ones) to TIFF of 16 bit, or let the camera write JPEG beside them';
  if (films.length > 0)
    return `a run of several films is a list in their order: source: [${films
      .slice(0, 2)
      .map((name) => `${shown}/${name}`)
      .join(', ')}${films.length > 2 ? ', ...' : ''}]`;
  return 'pictures in folders below are found with a pattern such as rack/**/*.jpg';
}
