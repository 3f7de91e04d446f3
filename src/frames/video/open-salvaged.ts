import { UserError } from '../../errors.ts';
import { ffmpegVersion } from '../find-ffmpeg.ts';
import type { Note } from '../note.ts';
import { pipedArguments, quietArguments, runFfmpeg } from '../run-ffmpeg.ts';
import { lentSets } from '../salvage/lender.ts';
import type { ParameterSets } from '../salvage/parameter-sets.ts';
import { ownSets, pictureData, type SalvagedFilm, salvageFilm, salvageWholePictures } from '../salvage/salvage-film.ts';
import { passthroughArguments } from './passthrough-arguments.ts';
import { parseProbe, probeVideo, type VideoFacts } from './probe-video.ts';
import { scanPackets } from './scan-packets.ts';

/** An intact film that may lend what a film without index lacks. */
export interface Lender {
  readonly file: string;
  readonly shown: string;
}

/** A film without its index whose pictures were found. */
export interface Salvage {
  readonly film: SalvagedFilm;
  readonly facts: VideoFacts;
  /** Distance of two pictures on playback, seconds; `null` unknown. */
  readonly frameS: number | null;
  readonly lender: Lender | null;
  readonly note: Note;
}

/** Pictures decoded to see whether the settings fit. Chosen: wrong ones fail in the first. */
const trialPictures = 8;

/**
 * Finds the pictures of an MP4 or QuickTime film without its index. What a decoder must know comes from the film itself,
 * or from the first lender whose settings decode its first pictures without a complaint; ProRes and Motion JPEG need none.
 * @throws UserError `video-index-missing` when that cannot be done.
 */
export async function openSalvaged(
  program: string,
  file: string,
  shown: string,
  lenders: readonly Lender[],
): Promise<Salvage> {
  const data = await pictureData(file);
  const candidates: (() => Promise<{ sets: ParameterSets | null; lender: Lender | null }>)[] = [];
  if (data !== null) {
    candidates.push(async () => ({ sets: await ownSets(file, data), lender: null }));
    for (const lender of lenders) candidates.push(async () => ({ sets: await lentSets(lender.file), lender }));
  }
  let tried: Lender | null = null;
  for (const candidate of candidates) {
    const { sets, lender } = await candidate();
    if (sets === null) continue;
    const film = await salvageFilm(file, data!, sets);
    const facts = film === null ? null : await trial(program, film);
    if (film === null || facts === null) {
      tried ??= lender;
      continue;
    }
    const lent = lender === null ? null : await borrowed(program, lender.file, facts);
    return {
      ...{ film, facts: lent?.facts ?? facts, frameS: lent?.frameS ?? null, lender },
      note: salvageNote(film, lender, shown),
    };
  }
  const whole = data === null ? null : await salvageWholePictures(file, data);
  const facts = whole === null ? null : await trial(program, whole);
  if (whole === null || facts === null) throw missingIndex(shown, tried);
  const lender = await likeFilm(program, facts, lenders);
  const lent = lender === null ? null : await borrowed(program, lender.file, facts);
  return {
    ...{ film: whole, facts: lent?.facts ?? facts, frameS: lent?.frameS ?? null, lender },
    note: salvageNote(whole, lender, shown),
  };
}

/** The first intact film of the same kind and size, as a camera makes them. */
async function likeFilm(program: string, own: VideoFacts, lenders: readonly Lender[]): Promise<Lender | null> {
  for (const lender of lenders) {
    const answer = await probeVideo(program, lender.file);
    if (answer.kind !== 'video') continue;
    const { codec, storedWidth, storedHeight } = answer.facts;
    if (codec === own.codec && storedWidth === own.storedWidth && storedHeight === own.storedHeight) return lender;
  }
  return null;
}

/** Decodes the first pictures; `null` unless that goes without a complaint. */
async function trial(program: string, film: SalvagedFilm): Promise<VideoFacts | null> {
  const input = [...quietArguments, ...pipedArguments(film.codec)];
  const probed = await runFfmpeg(program, input, undefined, undefined, film.feed(0));
  const answer = parseProbe(probed.stderr);
  if (answer.kind !== 'video') return null;
  // Pictures far apart and handed over as they come, so that nothing is said about times.
  const even = ['-vf', 'setpts=10*N/TB', ...passthroughArguments(await ffmpegVersion(program))];
  const decode = [...even, '-frames:v', String(trialPictures), '-f', 'null', '-'];
  const quiet = [...quietArguments, '-loglevel', 'error', ...pipedArguments(film.codec), ...decode];
  const { stderr } = await runFfmpeg(program, quiet, undefined, undefined, film.feed(0));
  return stderr.trim() === '' ? { ...answer.facts, durationS: null, startS: 0, framesPerSecond: null } : null;
}

/** Unevenness of the lender's pictures up to which they count as even. Chosen: clocks of containers round to a millisecond. */
const evenness = 0.05;

/** What only the index tells: which way up, colours where the stream does not say, the distance of pictures. */
async function borrowed(
  program: string,
  file: string,
  own: VideoFacts,
): Promise<{ readonly facts: VideoFacts; readonly frameS: number | null }> {
  const answer = await probeVideo(program, file);
  if (answer.kind !== 'video') return { facts: own, frameS: null };
  const { facts } = answer;
  const { pts, tickS } = await scanPackets(program, file, facts.streamIndex);
  const gaps = pts.slice(1).map((ticks, i) => (ticks - pts[i]!) * tickS);
  const mean = gaps.length === 0 ? 0 : gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
  const even = mean > 0 && gaps.every((gap) => Math.abs(gap - mean) < evenness * mean);
  return {
    facts: {
      ...{ ...own, container: facts.container, rotation: facts.rotation },
      rangeTag: own.rangeTag ?? facts.rangeTag,
      matrixTag: own.matrixTag ?? facts.matrixTag,
      primariesTag: own.primariesTag ?? facts.primariesTag,
      transferTag: own.transferTag ?? facts.transferTag,
    },
    frameS: even ? mean : null,
  };
}

function salvageNote({ count, lost }: SalvagedFilm, lender: Lender | null, shown: string): Note {
  const pictures =
    count === 1 ? 'One picture was found without it and is' : `${count} pictures were found without it and are`;
  const settings =
    lender === null
      ? 'Which way up it was filmed is not known: see that the preview is upright'
      : `Its settings, its size and which way is up are taken from ${lender.shown}`;
  const end = lost === null ? '' : ` Later ones are not: ${lost}.`;
  const message = `${shown}: the film breaks off: it was never finished (a power cut, a full card), and its index is missing. ${pictures} read.${end} ${settings}.`;
  return { code: 'video-breaks-off', severity: 'warn', message };
}

function missingIndex(shown: string, tried: Lender | null): UserError {
  const beside =
    tried === null
      ? 'and no intact film of the same camera lies beside it to tell how they are coded'
      : `and ${tried.shown} beside it was filmed otherwise and does not tell how they are coded`;
  return new UserError({
    code: 'video-index-missing',
    file: shown,
    message: `the film was never finished (a power cut, or a card pulled out while filming): its index is missing, without it the pictures cannot be found, ${beside}`,
    hint: 'copy any intact H.264 or HEVC film of the same camera and settings (some seconds will do) into the same folder, with the same ending, and try again; or put the card back into the camera and switch it on (many cameras repair the last film). Short files or stills make a cut cost less',
  });
}
